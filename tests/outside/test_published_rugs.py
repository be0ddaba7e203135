"""Rugs on record, reckoned: do the starting guesses give what was written down when they were woven?"""

import pytest

from shop.core.money import Money
from tests.core.a_rug import SHAFT, a_reckoning

POUND = 453.59237

RUG_OF_1902 = {
    "rug": {"width": "36 in", "length": "72 in"},
    "loom": {
        "sett": "12.5/in", "width": "36 in", "draw_in": 0, "selvedge_ends": 0, "relaxation": 0,
        "waste": 0, "hem": "5 in", "yarn": "8/4", "yarn_price": "0.20/lb",
    },
    "weft": {"strip": "1 in", "cloth_weight": "90 g/m2", "fibre": "cotton", "joins": "lap", "waste": 0},
    # ten pounds of muslin a yard wide for a dollar, so that rags cost what she paid for them, ten cents a pound
    "cloth": {"width": "36 in", "length": f"{10 * POUND / 90 / 0.9144:.6f} m", "paid": "1.00"},
    "bought_in": {"label": "0.20"},  # the dye
}  # fmt: skip


@pytest.fixture(scope="module")
def rug_of_1902():
    """C. Wheeler, How to Make Rugs (1902), chapters I and II and "Profits": a yard wide, six feet long.

    450 ends in the yard; 2/3 lb of warp at 16 to 20 cents; 3 lb of rags at 10 cents; dye 20 cents: 60 to 64 cents of
    material. Five inches of fringe at each end, ten between two rugs.
    """
    return a_reckoning(SHAFT, **RUG_OF_1902)


def test_the_warp_of_1902(rug_of_1902):
    assert rug_of_1902.warp.ends == 450
    assert rug_of_1902.warp.one.metres / 0.9144 == pytest.approx(2.4, abs=0.1)
    assert 0.6 <= rug_of_1902.warp_g.middle / POUND <= 0.7


def test_the_rags_of_1902(rug_of_1902):
    rags = rug_of_1902.weight.middle - rug_of_1902.warp_g.middle
    assert 2.5 <= rags / POUND <= 3.5
    assert rags / (0.9144 * 1.8288) == pytest.approx(814, rel=0.05)


def test_the_cents_of_1902(rug_of_1902):
    cost = rug_of_1902.cost
    assert cost.warp == Money(13, "USD")
    assert 60 <= (cost.cloth + cost.warp + cost.bought_in).minor <= 64


def test_the_rows_of_1902(rug_of_1902):
    """The same: 8 to 10 yards of inch strips to a yard of rug's inch of width, that is 8 to 10 rows to the inch."""
    assert 8 <= rug_of_1902.rows.middle / 72 <= 10


def a_finnish_rug(**weft):
    return a_reckoning(
        {},
        shop={"units": "metric", "currency": "EUR"},
        rug={"width": "106 cm", "length": "189 cm"},
        loom={"kind": "shaft", "sett": "2.5/cm", "width": "150 cm", "draw_in": 0, "selvedge_ends": 4, "yarn": "8/4"},
        weft={"cloth_weight": "115 g/m2", "fibre": "cotton", "joins": "none", **weft},
    )


def test_a_finnish_rugs_ends():
    """mallikerta.fi, a published rag-rug pattern: 2.5 ends to the centimetre, 106 cm wide, 265 + 4 ends."""
    assert a_finnish_rug(strip="2 cm").warp.ends == 265 + 4


@pytest.mark.parametrize("strip", ["1.5 cm", "2 cm", "2.5 cm"])
def test_a_finnish_rugs_weft(strip):
    """The same: 2,700 g of weft in 189 cm woven, 1,348 g/m2; a starting guess should come within a quarter of it.

    The pattern does not say its strip. Two centimetres of cotton sheeting, and half a centimetre either way.
    """
    found = a_finnish_rug(strip=strip)
    grams = found.weight.middle - found.warp_g.middle
    assert grams / (1.06 * 1.89) == pytest.approx(1348, rel=0.25)


def test_a_finnish_rugs_warp():
    """The same: a warp 5.8 m long of 269 ends weighs 600 g, which is a yarn of about 385 tex."""
    metres_per_kg = 269 * 5.8 / 0.6
    assert 1e6 / metres_per_kg == pytest.approx(385, rel=0.01)
    found = a_reckoning(SHAFT, loom={"yarn": f"{metres_per_kg:.0f} m/kg"})
    assert found.plan.yarn.grams(269 * 5.8) == pytest.approx(600, rel=1e-3)


def test_three_quarter_inch_strips_pack_six_to_the_inch():
    """A practitioner's figure, a range and no truth: 3/4 in strips of light cotton, 6 rows to the inch."""
    found = a_reckoning(SHAFT, weft={"strip": "3/4 in", "cloth_weight": "140 g/m2"}, loom={"relaxation": 0})
    assert found.rows.low <= 6 * 72 <= found.rows.high


def test_cloth_in_a_woven_rug():
    """Practitioners: 4 1/2 to 11 times a rug's area of cloth goes into it when it is woven on a loom."""
    for strip, weight in (("1 in", "90 g/m2"), ("1 1/2 in", "115 g/m2"), ("3/4 in", "140 g/m2")):
        found = a_reckoning(SHAFT, weft={"strip": strip, "cloth_weight": weight})
        area = found.made.size.width.metres * found.made.size.length.metres
        assert 4.5 <= found.weft_area.middle / area <= 11


def test_denim_does_not_pack_on_twelve_ends_and_does_on_six():
    """Practitioners: denim does not pack at 12 ends to the inch; at 6, doubled, it does."""
    denim = {"strip": "3/4 in", "cloth_weight": "400 g/m2"}
    warned = [
        any(problem.code == "warn.pack" for problem in a_reckoning(SHAFT, weft=denim, loom={"sett": sett}).warnings)
        for sett in ("12/in", "6/in")
    ]
    assert warned == [True, False]


def test_dressing_six_hundred_and_forty_ends():
    """A practitioner's record: measuring, beaming and threading 640 ends took 13 1/2 hours, or 13."""
    found = a_reckoning(SHAFT, loom={"sett": "16/in", "width": "40 in", "draw_in": 0, "selvedge_ends": 0}, rug={"width": "40 in"})
    assert found.warp.ends == 640
    assert found.minutes["warp"].middle / 60 == pytest.approx(13.25, abs=0.5)
