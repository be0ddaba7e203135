"""A job card and a rug's label to test with."""

from datetime import date

from shop.paper.job_card import Card, CardBand, CardCut
from shop.paper.rug_label import RugLabel
from tests.paper.a_paper import a_rug, a_shop


def a_cut(**given):
    usual = {
        "piece": "Navy denim, No. 7",
        "colour": "#34466f",
        "kept": "shelf B",
        "how": "24 strips along the piece, 2 in × 90 in",
        "band": "Navy denim",
        "strips": 24,
        "cut": 11,
    }
    return CardCut(**(usual | given))


def a_band(**given):
    usual = {"cloth": "Navy denim", "colours": ("#34466f",), "rows": 45, "until": 45, "done": 23, "panel": "", "ends": False}
    return CardBand(**(usual | given))


def a_card(**given):
    usual = {
        "number": 12,
        "name": "Hall rug in blues",
        "note": "Ask for the key.",
        "day": date(2026, 11, 25),
        "shop": a_shop(),
        "rug": a_rug(),
        "warp": (("Ends", "379"), ("Yarn", "8/4")),
        "cuts": (a_cut(),),
        "bands": (a_band(), a_band(cloth="Sheeting", colours=("#e8e0d0", "#34466f"), rows=60, until=105, done=0, ends=True)),
        "cautions": ("Close the blade.",),
    }
    return Card(**(usual | given))


def a_rug_label(**given):
    usual = {
        "number": 12,
        "name": "Hall rug in blues",
        "day": date(2026, 11, 25),
        "shop": a_shop(),
        "rug": a_rug(),
        "size": "2 ft 6 in × 4 ft",
        "weight": "",
        "cloths": ("Navy denim", "Sheeting"),
        "fibres": ("cotton",),
        "content": "62% cotton, 33% wool, 5% other fibre",
    }
    return RugLabel(**(usual | given))
