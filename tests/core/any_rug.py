"""Any rug that may be asked for, out of values that mean something; and nonsense, which nobody should write."""

from hypothesis import strategies as st

from shop.core.cloth import Fibre
from shop.core.hours import PACES, STEPS
from shop.core.keys import KEYS
from shop.core.own_doubt import TOLD
from shop.core.stripe_plan import Turn
from shop.core.strips import Join, Tool, Way

_SHARES = st.one_of(
    st.sampled_from([0, 0.0, 0.05, 0.5, 0.8, 0.9, 0.99, 1, "35 %", "0 %", "100 %"]), st.floats(0, 1)
)
_LENGTHS = st.one_of(
    st.sampled_from(["1/8 in", "1 mm", "2 in", "1 in", "30 in", "76 cm", "2 ft 6 in", "20 m", "100 m", "10000 m", 36, 0.04]),
    st.integers(4, 4000).map(lambda n: f"{n} mm"),
)
_AMOUNTS = st.one_of(
    st.sampled_from(["0", "0.01", "12.50", "1,200.00", 0, 25, "9999999999999", 10**13]),
    st.integers(0, 10**6).map(lambda n: f"{n // 100}.{n % 100:02d}"),
)
_COUNTS = st.one_of(st.sampled_from([0, 1, 2, 40, 100, 1000]), st.integers(1, 60))
_MINUTES = st.one_of(
    st.sampled_from([0, 1, 60, 10_000, 100_000, "0.00000000000000000000000000000000001"]), st.floats(0, 1000)
)
_CLOTH = {
    "name": st.sampled_from(["Navy denim", "", "🧵" * 10]),
    "colour": st.sampled_from(["#112233", "#ABCDEF"]),
    "paid": _AMOUNTS,
    "width": _LENGTHS,
    "length": _LENGTHS,
    "pieces": st.one_of(st.sampled_from([0, 1, 10_000]), st.floats(0, 50)),
    "price_per_yard": _AMOUNTS,
    "share": st.one_of(st.sampled_from([0.0001, 1, 10_000]), st.floats(0.01, 10)),
    "cloth_weight": st.sampled_from(["10 g/m2", "115 g/m2", "2000 g/m2", "4 oz/yd2", 340, 115.5]),
    "fibre": st.sampled_from([one.value for one in Fibre]),
    "tears": st.booleans(),
}
_STRIPE = {
    "cloth": st.one_of(st.sampled_from([1, 2, "Navy denim", [1, 2], [2, 1]]), st.lists(st.integers(1, 3), min_size=1, max_size=3)),
    "rows": st.integers(1, 60),
    "length": _LENGTHS,
    "share": st.sampled_from([0.1, 0.25, 0.5, "20 %", 1]),
    "rest": st.booleans(),
    "border": st.booleans(),
    "turn": st.sampled_from([one.value for one in Turn]),
    "seed": st.integers(0, 999_999),
    "least": st.integers(1, 20),
    "most": st.integers(1, 40),
}
_DOUBT = {
    "of": st.sampled_from(TOLD),
    "spread": st.sampled_from([0, 0.05, 0.2, 2]),
    "rug": st.sampled_from([0, 0.05, 2]),
    "day": st.sampled_from([0, 0.1]),
    **dict.fromkeys(("rugs", "kind", "cloth", "quick"), st.integers(0, 60)),
}
SENSIBLE = {
    "measured": st.lists(st.sampled_from(["weft.take_up", "weft.packing", "cloth.0.cloth_weight", "rates.wage"])),
    "guessed": st.lists(st.sampled_from(["weft.take_up", "loom.sett", "cloth.cloth_weight", "hours.pace.office"])),
    "shop": {
        "currency": st.sampled_from(["USD", "SEK", "JPY", "KWD", "CLF"]),
        "locale": st.sampled_from(["en_US", "sv_SE"]),
        "units": st.sampled_from(["imperial", "metric"]),
    },
    "rug": {"width": _LENGTHS, "length": _LENGTHS, "rugs_on_warp": _COUNTS},
    "loom": {
        "kind": st.sampled_from(["frame", "shaft", "plank"]),
        "name": st.just("Barn loom"),
        "pegs": _COUNTS,
        "spacing": _LENGTHS,
        "length": _LENGTHS,
        "bar_places": st.lists(_LENGTHS, max_size=3),
        "passes_per_peg": st.integers(1, 10),
        "turn": _LENGTHS,
        "tail": _LENGTHS,
        "sett": st.sampled_from(["12.5/in", "2/cm", 6, 1, 100, "8"]),
        "width": _LENGTHS,
        "draw_in": st.sampled_from([0, 0.07, 0.5]),
        "take_up": st.sampled_from([0, 0.08, 0.5]),
        "relaxation": st.sampled_from([0, 0.05, 0.5]),
        "waste": _LENGTHS,
        "selvedge_ends": st.integers(0, 100),
        "hem": _LENGTHS,
        "cut_space": _LENGTHS,
        "knot": _LENGTHS,
        "yarn": st.sampled_from(["8/4", "2020 m/kg", "1600 yd/lb", "385 tex", "50 m/kg"]),
        "yarn_price": st.sampled_from(["14.50/lb", "30/kg", "0/kg", "1000000000/lb"]),
    },
    "weft": {
        "strip": _LENGTHS,
        "cloth_weight": _CLOTH["cloth_weight"],
        "fibre": _CLOTH["fibre"],
        "rows_per_inch": st.sampled_from([0.1, 2, 8, 100]),
        "rows_per_cm": st.sampled_from([0.04, 1, 40]),
        "packing": st.sampled_from([0.2, 2.6, 6.5, 50]),
        "take_up": st.sampled_from([1, 1.12, 2, 10]),
        "joins": st.one_of(st.sampled_from([one.value for one in Join]), _LENGTHS),
        "way": st.sampled_from([one.value for one in Way]),
        "tool": st.sampled_from([one.value for one in Tool]),
        "waste": st.sampled_from([0, 0.05, 0.5, 0.8]),
        "repeats": st.integers(1, 100),
        "mirrored": st.booleans(),
        "to_the_end": st.booleans(),
    },
    "cloth": _CLOTH,
    "stripe": _STRIPE,
    "doubt": _DOUBT,
    "hours": {**dict.fromkeys(STEPS, _MINUTES), "pace": dict.fromkeys(PACES, st.sampled_from([0, 0.3, 20, 10_000]))},
    "rates": {
        "wage": _AMOUNTS,
        "pay": dict.fromkeys(STEPS, _AMOUNTS),
        "overhead_per_hour": _AMOUNTS,
        "overhead_percent": st.sampled_from([0, 0.2, 10, "60 %"]),
    },
    "bought_in": {"postage": _AMOUNTS, "label": _AMOUNTS, "mat": _AMOUNTS},
    "price": {
        "markup": st.sampled_from([0, 0.35, 10, "50 %"]),
        "margin": st.sampled_from([0, 0.35, 0.99]),
        "trade_markup": st.sampled_from([0, 0.35, 10]),
        "retail_times": st.sampled_from([1, 2, 10]),
        "per_square_foot": _AMOUNTS,
        "per_square_metre": _AMOUNTS,
        "asking": _AMOUNTS,
        "fee_percent": _SHARES,
        "fee_fixed": _AMOUNTS,
        "tax_rate": _SHARES,
        "tax_included": st.booleans(),
        "round_to": _AMOUNTS,
        "round_how": st.sampled_from(["up", "nearest"]),
        "discount": _SHARES,
        "below_floor": st.booleans(),
        "deposit": _SHARES,
    },
}
"""For each name that a described rug may hold, values that mean something, the farthest ones with them."""

_SCALARS = st.one_of(
    st.none(),
    st.booleans(),
    st.integers(-5, 5),
    st.integers(),
    st.sampled_from([10**400, -(10**400), 10**4000, 1e308, 5e-324, -0.0, float("nan"), float("inf"), -float("inf")]),
    st.floats(),
    st.text(max_size=20),
    st.sampled_from(["", " ", "-1", "0", "1/0", "½", "½½", "1e400", "NaN", "١٢", "\x00", "🧶" * 50, "9" * 10_000, "2 in" * 30]),
)
NONSENSE = st.recursive(
    _SCALARS,
    lambda inner: st.one_of(
        st.lists(inner, max_size=3), st.dictionaries(st.text(max_size=8), inner, max_size=3)
    ),
    max_leaves=6,
)


@st.composite
def _tables(draw, names, odd):
    table = {}
    for name in draw(st.lists(st.sampled_from(sorted(names)), max_size=6, unique=True)):
        wanted = names[name]
        if odd and draw(st.integers(0, 9)) == 0:
            table[name] = draw(NONSENSE)
        else:
            table[name] = draw(_tables(wanted, odd)) if isinstance(wanted, dict) else draw(wanted)
    return table


@st.composite
def documents(draw, *, odd=False):
    """Described rugs out of sensible values, some of them at the ends of what is allowed.

    ``odd`` puts nonsense in the place of some values, and names that mean nothing beside them.
    """
    kind = draw(st.sampled_from(["frame", "shaft", "plank"]))
    document = {}
    for name, wanted in SENSIBLE.items():
        if draw(st.booleans()):
            document[name] = draw(_tables(wanted, odd)) if isinstance(wanted, dict) else draw(wanted)
    if not odd:
        _made_plausible(draw, document, kind)
    elif draw(st.integers(0, 4)) == 0:
        document[draw(st.one_of(st.sampled_from(sorted(KEYS)), st.text(max_size=9)))] = draw(NONSENSE)
    if "cloth" in document and isinstance(document["cloth"], dict) and draw(st.booleans()):
        document["cloth"] = [document["cloth"], *draw(st.lists(_tables(_CLOTH, odd), max_size=2))]
        if not odd:
            for one in document["cloth"]:
                _one_price(one)
    if "stripe" in document and isinstance(document["stripe"], dict) and draw(st.booleans()):
        document["stripe"] = [document["stripe"], *draw(st.lists(_tables(_STRIPE, odd), max_size=3))]
    if not odd:
        _stripes_made_plausible(draw, document)
    return document


def _stripes_made_plausible(draw, document):
    """Every cloth in a stripe, each stripe with one length, one of them taking what is left."""
    if "stripe" not in document or draw(st.integers(0, 2)) == 0:
        document.pop("stripe", None)
        for name in ("mirrored", "to_the_end"):
            document.get("weft", {}).pop(name, None)
        return
    cloths = document.get("cloth")
    count = len(cloths) if isinstance(cloths, list) else 1
    given = document["stripe"] if isinstance(document["stripe"], list) else [document["stripe"]]
    short = [
        {name: one[name] for name in one if name in ("border", "seed")} | {"cloth": place % count + 1, "rows": 2}
        for place, one in enumerate(given)
    ]
    rests = [{"cloth": place + 1, "rest": True} for place in range(count)]
    document["stripe"] = [*short, *rests]
    document.get("weft", {}).pop("to_the_end", None)


_OWN = {
    "frame": {"kind", "name", "pegs", "spacing", "length", "bar_places", "passes_per_peg", "turn", "tail"},
    "plank": {"kind", "name", "pegs", "spacing", "knot", "yarn", "yarn_price"},
}


def _one_price(cloth):
    if "paid" in cloth:
        cloth.pop("price_per_yard", None)


def _made_plausible(draw, document, kind):
    """Take out what cannot stand together, so that most of the rugs can be planned."""
    loom = document.setdefault("loom", {})
    own = _OWN.get(kind, set(SENSIBLE["loom"]) - {"pegs", "spacing", "length", "bar_places", "passes_per_peg", "turn", "tail", "knot"})
    document["loom"] = {name: value for name, value in loom.items() if name in own} | {"kind": kind}
    if document["loom"].get("pegs") == 0:
        document["loom"]["pegs"] = 1
    if kind == "frame" and "rug" in document and draw(st.booleans()):
        document["rug"].pop("length", None)
    if document.get("rug", {}).get("rugs_on_warp") in (0, 1000):
        del document["rug"]["rugs_on_warp"]
    if "rows_per_inch" in document.get("weft", {}):
        document["weft"].pop("rows_per_cm", None)
    if "overhead_percent" in document.get("rates", {}):
        document["rates"].pop("overhead_per_hour", None)
    price = document.get("price", {})
    for rule in ["markup", "margin", "trade_markup", "per_square_foot", "per_square_metre", "asking"]:
        if rule in price:
            for other in {"markup", "margin", "trade_markup", "per_square_foot", "per_square_metre", "asking"} - {rule}:
                price.pop(other, None)
            break
    _one_price(document.get("cloth", {}))
