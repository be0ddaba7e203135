"""Yarn by its count: the 840-yard hank of ASTM D2260 and ISO 2947, and published runs."""

import pytest

from shop.core.loom import Fit, Sett, ShaftLoom, Size
from shop.core.measure import Length
from shop.core.warp import TEX_OF_COUNT_ONE, YARDS_PER_HANK, parse_yarn, shaft_warp


def test_the_hank():
    """ASTM D2260: cotton count 1 is one 840-yard hank to the pound, 590.5412474 tex, 5314.8712 denier."""
    assert YARDS_PER_HANK == 840
    assert pytest.approx(590.5412474, rel=1e-9) == TEX_OF_COUNT_ONE
    one = parse_yarn("1/1")
    assert one.tex == pytest.approx(590.5412474, rel=1e-9)
    assert one.tex * 9 == pytest.approx(5314.8712, rel=1e-7)


@pytest.mark.parametrize(
    ("yarn", "yards", "tex"),
    [
        ("8/4", 1680, 295.27),  # carpet warp, on a page that quotes the standard
        ("5/2", 2100, 236.22),  # printed elsewhere as 2,400
        ("300 yd/lb", 300, 1653.515),  # linen lea 1
    ],
)
def test_runs_of_known_yarns(yarn, yards, tex):
    found = parse_yarn(yarn)
    assert found.yards_per_pound == pytest.approx(yards)
    assert found.tex == pytest.approx(tex, rel=2e-5)


def test_carpet_warp_by_its_tex():
    """The same yarn, named by the count or by its tex, runs as far."""
    assert parse_yarn("295.27 tex").yards_per_pound == pytest.approx(parse_yarn("8/4").yards_per_pound, rel=1e-5)


def test_three_thousand_yards_of_warp():
    """A practitioner's figures: 45 in at 6 ends to the inch by 12 yd is 3,240 yd; at 2,240 yd/lb 1.446 lb."""
    loom = ShaftLoom(
        sett=Sett(6, "in"), width=Length.of(45, "in"), draw_in=0, take_up=0, relaxation=0,
        waste=Length(0), hem=Length(0), selvedge_ends=0,
    )  # fmt: skip
    size = Size(Length.of(45, "in"), Length.of(12, "yd"))
    warp = shaft_warp(loom, Fit(size, 1, size.width, 0))
    assert warp.ends == 270
    assert warp.length == Length.of(3240, "yd")
    assert parse_yarn("2240 yd/lb").grams(warp.length_m) / 453.59237 == pytest.approx(1.446, abs=0.0005)


def test_loom_waste_is_spent_once():
    """A practitioner's figures: of 180 in of warp, 31 in are waste and 13 in take-up, and leave four times 34 in."""
    loom = ShaftLoom(
        take_up=13 / 149, relaxation=0, waste=Length.of(31, "in"), hem=Length(0), draw_in=0, width=Length.of(30, "in")
    )
    size = Size(Length.of(24, "in"), Length.of(34, "in"))
    assert shaft_warp(loom, Fit(size, 1, size.width, 0), rugs=4).one.inches == pytest.approx(180, abs=1e-6)
