"""Plain builders of the trade's things, so that a test says only what matters to it."""

from datetime import UTC, date, datetime
from decimal import Decimal

from shop.core.amount import All
from shop.core.loom import FrameLoom, PlankLoom, Sett, ShaftLoom, Size
from shop.core.measure import Length, Weight
from shop.core.money import Money
from shop.core.warp import PricePerWeight
from shop.store.fair import Fair
from shop.usecases import (
    account,
    cutting_plan,
    drafting,
    draw,
    haul,
    job,
    loom,
    outlet,
    piece,
    planning,
    quote,
    rug,
)
from shop.usecases.chosen import Chosen
from shop.usecases.given import fresh_token
from shop.usecases.haul import HaulGiven, PieceGiven
from shop.usecases.loom import LoomGiven
from shop.usecases.outlet import OutletGiven
from shop.usecases.price import PricingGiven
from shop.usecases.quote import DraftGiven
from shop.usecases.rates import BudgetLine, RatesGiven
from shop.usecases.rug import RugGiven
from shop.usecases.shop import ShopGiven

PASSWORD = "a warp of eight-four cotton"


def inches(value):
    return Length.of(value, "in")


def money(amount, currency="USD"):
    return Money.of(amount, currency)


def a_shop(**changed):
    given = {
        "name": "Marsh End Rugs",
        "address": ("2 Ferry Lane", "Marsh End"),
        "contact": "rugs@marshend.example",
        "locale": "en_US",
        "currency": "USD",
        "units": "imperial",
        "time_zone": "America/New_York",
    }
    return ShopGiven(**{**given, **changed})


def an_open_shop(store, now, **changed):
    """A shop with its owner; gives who is signed in."""
    return account.open_shop(
        store, name="Ida", password=PASSWORD, shop=a_shop(**changed), saving=fresh_token(), now=now
    )


def a_frame(**changed):
    return FrameLoom(**{"name": "Peg frame", "bar_places": (inches(30), inches(24)), **changed})


def a_shaft_loom(**changed):
    return ShaftLoom(**{"name": "Floor loom", "sett": Sett(Decimal("12.5"), "in"), **changed})


def a_plank(**changed):
    return PlankLoom(**{"name": "Plank", **changed})


def a_loom(loom=None, **changed):
    given = {"loom": loom or a_frame(), "strip": inches(2)}
    if isinstance(given["loom"], ShaftLoom):
        given |= {"yarn": "8/4", "yarn_price": PricePerWeight(Decimal("14.50"), "lb"), "strip": inches(1)}
    return LoomGiven(**{**given, **changed})


def a_kept_loom(store, now, given=None):
    return loom.keep(store, loom=given or a_loom(), saving=fresh_token(), now=now)


def some_rates(**changed):
    given = {
        "wage": money("20"),
        "overhead": "budget",
        "productive_hours": Decimal(800),
        "lines": (
            BudgetLine(kind="rent", per_year=money("1200")),
            BudgetLine(
                kind="loom_wear", name="Floor loom", cost=money("900"), resale=money("300"), years=Decimal(10)
            ),
        ),
    }
    return RatesGiven(**{**given, **changed})


def a_price_rule(**changed):
    given = {
        "share": Decimal("0.4"),
        "tax_name": "Sales tax",
        "tax_rate": Decimal("0.06"),
        "fee_share": Decimal("0.029"),
        "fee_fixed": money("0.30"),
        "step": money("5"),
    }
    return PricingGiven(**{**given, **changed})


def a_sheet(**changed):
    given = {
        "name": "Blue striped sheet",
        "cloth": "sheeting",
        "colour": "#5577aa",
        "fibres": (("cotton", Decimal(1)),),
        "width": inches(81),
        "length": inches(96),
        "paid": money("4.00"),
    }
    return PieceGiven(**{**given, **changed})


def a_blanket(**changed):
    given = {
        "name": "Grey wool blanket",
        "cloth": "blanket",
        "colour": "#777777",
        "width": inches(60),
        "length": inches(80),
        "weight": Weight.of("1.2", "kg"),
        "paid": money("9.00"),
    }
    return PieceGiven(**{**given, **changed})


def a_haul(*pieces, **changed):
    given = {
        "place": "Saturday market",
        "on": date(2026, 3, 14),
        "pieces": pieces or (a_sheet(), a_blanket()),
    }
    return HaulGiven(**{**given, **changed})


def a_haul_at_home(store, now, *pieces, **changed):
    return haul.bring_home(store, haul=a_haul(*pieces, **changed), saving=fresh_token(), now=now)


def a_piece_in_hand(store, now, given=None):
    """One piece at home; gives its card."""
    brought = a_haul_at_home(store, now, given or a_sheet())
    return piece.piece(store, number=brought.pieces[0].number)


def a_draft(**changed):
    given = {
        "customer_name": "Asa Lindqvist",
        "customer_contact": "asa@example.org",
        "title": "Hall runner in blues",
        "described": {"rug": {"width": "609.6 mm", "length": "914.4 mm"}},
        "figures": {"rows": 75, "asking": "140.00"},
        "size": Size(inches(24), inches(36)),
        "asking": money("140.00"),
        "total": money("148.40"),
    }
    return DraftGiven(**{**given, **changed})


def a_quote(store, now, **changed):
    return quote.save_draft(store, draft=a_draft(**changed), saving=fresh_token(), now=now)


def codes(refused):
    """The (where, code) pairs of a refusal caught by ``pytest.raises``."""
    return {(problem.where, problem.code) for problem in refused.value.problems}


def a_ready_piece(store, now, given=None, **changed):
    """One piece at home, washed and ready; gives its card."""
    return a_piece_in_hand(store, now, given or a_sheet(**{"ready": True, **changed}))


def a_job(store, now, name="Hall runner", **changed):
    """A job that takes cloth; gives its number."""
    return job.begin(store, name=name, saving=fresh_token(), now=now, **changed).line.number


def a_cone(**changed):
    given = {
        "name": "Natural carpet warp",
        "yarn": "8/4",
        "colour": "#efe6d2",
        "fibres": (("cotton", Decimal(1)),),
        "weight": Weight.of(500, "g"),
        "paid": money("12.00"),
        "ready": True,
    }
    return PieceGiven(**{**given, **changed})


def drawn(store, now, number, to, amount=None):
    """Draw so much of a piece into a job, all of it as a rule."""
    return draw.draw(
        store, number=number, job=to, amount=amount or All(), saving=fresh_token(), now=now
    )


def a_planned_quote(store, now, *pieces, **chosen):
    """A quote of a rug of 12 by 30 in out of pieces in hand, each the same part; gives its number."""
    given = {
        "width": inches(12),
        "length": inches(30),
        "pieces": tuple((number, Decimal(1)) for number in pieces),
        "strip": inches(2),
    }
    plan = planning.planned(store, chosen=Chosen(**{**given, **chosen}))
    customer = drafting.Customer(name="Asa Lindqvist", title="Hall runner")
    kept = drafting.keep(
        store, plan=plan, customer=customer, number=None, revision=0, saving=fresh_token(), now=now
    )
    return kept.number


def a_planned_job(store, now, *pieces, name="Hall runner", **chosen):
    """A job begun from such a quote; gives its number."""
    return a_job(store, now, name=name, quote=a_planned_quote(store, now, *pieces, **chosen))


def held(store, now, job, **asked):
    """The strips of a job's own plan, held for it; gives the plan."""
    found = cutting_plan.propose(store, jobs=[job], **asked)
    accept(store, now, found)
    return found


def accept(store, now, found, saving=None):
    """Hold what a plan proposes."""
    jobs = [line.number for line in found.jobs]
    return cutting_plan.accept(store, jobs=jobs, strips=found.strips, saving=saving or fresh_token(), now=now)


def a_rug_given(**changed):
    given = {
        "name": "Blue ladder",
        "made_on": date(2026, 2, 3),
        "width": inches(24),
        "length": inches(36),
        "weight": Weight.of(1200, "g"),
        "stripes": (("#efe6d2", Decimal(1)), ("#2f4470", Decimal(3)), ("#efe6d2", Decimal(1))),
        "fibres": "100% cotton",
        "care": "Wash cold.",
        "cloth": money("4.00"),
        "warp": money("2.00"),
        "labour": money("100.00"),
        "overhead": money("10.00"),
        "bought_in": money("1.00"),
        "minutes": Decimal(300),
        "price": money("150.00"),
    }
    return RugGiven(**{**given, **changed})


def a_rug_entered(store, now, **changed):
    """A rug entered by hand; gives its card."""
    return rug.enter(store, rug=a_rug_given(**changed), saving=fresh_token(), now=now)


def an_outlet(store, now, **changed):
    """A shop that takes rugs; gives its card."""
    given = OutletGiven(**{"name": "The Mill Shop", **changed})
    return outlet.keep(store, outlet=given, saving=fresh_token(), now=now)


def a_fair_row(session, number=1, **changed):
    """A fair, put straight into its table."""
    zero = dict.fromkeys(
        ("stall", "travel", "nights", "helper", "permits", "other", "card_fixed", "cash_step", "opening_float"), 0
    )
    share = dict.fromkeys(("card_percent", "card_share", "hours_stood", "hours_travelled", "tax_rate"), Decimal(0))
    given = {
        "number": number, "name": f"Fair {number}", "series": "", "series_key": "", "place": "", "note": "",
        "first_on": date(2026, 5, 2), "last_on": date(2026, 5, 3), "state": "planned", "currency": "USD",
        "tax_name": "", "tax_contained": False, "price_points": [], "counted": None,
        "created_at": datetime(2026, 3, 1, tzinfo=UTC), "ended_at": None, "revision": 1, **zero, **share,
    }  # fmt: skip
    fair = Fair(**{**given, **changed})
    session.add(fair)
    session.flush()
    return fair
