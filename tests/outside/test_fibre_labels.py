"""Fibre content against the rules for labels of textiles in the United States, 16 CFR part 303, from memory of their text.

The weights are our own, under those rules, except where a test says that a figure is the rule's.
"""

from decimal import Decimal

import pytest

from shop.core.cloth import Fibre
from shop.core.fibre_content import ContentLine, FibrePart, Said, fibre_content, within_tolerance


def all_of(fibre, grams):
    return FibrePart(grams=grams, fibres=((fibre, Decimal(1)),))


def named(fibre, percent):
    return ContentLine(said=Said.NAMED, percent=percent, fibres=(fibre,))


def text(parts):
    """A label in words."""
    words = []
    for line in fibre_content(parts).lines():
        other = "other fibre" if len(line.fibres) == 1 else "other fibres"
        what = {Said.NAMED: line.fibres and line.fibres[0].value, Said.OTHER: other, Said.UNKNOWN: "unknown fibres"}
        words.append(f"{line.percent}% {what[line.said]}")
    return ", ".join(words)


def test_a_kilogram_of_three_fibres():
    """Known by hand: 620, 330 and 50 g of 1,000 are 62, 33 and 5 percent."""
    parts = [all_of(Fibre.POLYESTER, 50), all_of(Fibre.COTTON, 620), all_of(Fibre.WOOL, 330)]
    assert text(parts) == "62% cotton, 33% wool, 5% polyester"


def test_order_of_predominance_by_weight():
    """303.16(a)(1): the names and percentages of the fibres in order of predominance by weight."""
    parts = [all_of(Fibre.LINEN, 150), all_of(Fibre.WOOL, 600), all_of(Fibre.NYLON, 250)]
    assert text(parts) == "60% wool, 25% nylon, 15% linen"


@pytest.mark.parametrize(
    ("nylon", "label"),
    [
        ("50", "95% cotton, 5% nylon"),
        ("50.01", "95% cotton, 5% nylon"),
        ("49.99", "95% cotton, 5% other fibre"),
        ("40", "96% cotton, 4% other fibre"),
    ],
)
def test_under_five_percent_is_other_fibre(nylon, label):
    """303.3: under 5 percent of the total fibre weight a fibre goes by no name of its own. The line is drawn by weight,
    before any rounding."""
    assert text([all_of(Fibre.COTTON, 1000 - Decimal(nylon)), all_of(Fibre.NYLON, Decimal(nylon))]) == label


def test_several_under_five_percent_are_one_figure_and_last():
    """303.3 and 303.16(a)(1): their percentages together, and last even when together they are more than a fibre named."""
    parts = [all_of(fibre, 4) for fibre in (Fibre.ACRYLIC, Fibre.NYLON, Fibre.VISCOSE)]
    parts += [all_of(Fibre.COTTON, 82), all_of(Fibre.LINEN, 6)]
    assert text(parts) == "82% cotton, 6% linen, 12% other fibres"


def test_wool_in_a_rug_is_a_fibre_like_another():
    """15 U.S.C. 68j: the law that has wool named however little there is of it leaves out carpets, rugs and mats."""
    assert text([all_of(Fibre.COTTON, 97), all_of(Fibre.WOOL, 3)]) == "97% cotton, 3% other fibre"


def test_rags_of_undetermined_content_in_whole():
    """303.14: a product of rags or scraps whose content is not known may say so of all of it."""
    assert text([FibrePart(grams=640.5), FibrePart(grams=Decimal("212.25"))]) == "100% unknown fibres"


def test_rags_of_undetermined_content_in_part():
    """303.14, whose own example is 45 rayon, 30 acetate and 25 unknown: the known part by name and percent of the whole,
    and the rest unknown. Acetate is no fibre here; polyester stands in for it."""
    parts = [FibrePart(grams=250), all_of(Fibre.VISCOSE, 450), all_of(Fibre.POLYESTER, 300)]
    assert text(parts) == "45% viscose, 30% polyester, 25% unknown fibres"


def test_unknown_is_never_shared_out_over_the_known():
    """303.14: no claim for the part that is unknown. Half a rug of cotton is 50 percent, though nothing else is known."""
    parts = [all_of(Fibre.COTTON, 480), all_of(Fibre.NYLON, 20), FibrePart(grams=500)]
    assert text(parts) == "48% cotton, 2% other fibre, 50% unknown fibres"


@pytest.mark.parametrize(
    ("found", "holds"), [("37", True), ("36.99", False), ("40", True), ("43", True), ("43.01", False)]
)
def test_three_percent_of_the_total_weight(found, holds):
    """303.43(a), its own figures: 40 percent on the label may be 37 to 43 in the product."""
    stated = (named(Fibre.COTTON, 60), named(Fibre.LINEN, 40))
    parts = [all_of(Fibre.LINEN, Decimal(found)), all_of(Fibre.COTTON, 100 - Decimal(found))]
    assert within_tolerance(stated, fibre_content(parts)) == holds


@pytest.mark.parametrize(("wool", "holds"), [("0", True), ("0.01", False), ("3", False)])
def test_no_tolerance_for_wholly_of_one_fibre(wool, holds):
    """303.43(c): the tolerance is not for a product that is said to be wholly of one fibre."""
    parts = [all_of(Fibre.COTTON, 100 - Decimal(wool)), all_of(Fibre.WOOL, Decimal(wool))]
    assert within_tolerance((named(Fibre.COTTON, 100),), fibre_content(parts)) == holds


@pytest.mark.parametrize(
    ("wool", "label"), [("0", "100% cotton"), ("0.01", "99% cotton, 1% other fibre"), ("0.4", "99% cotton, 1% other fibre")]
)
def test_a_hundred_percent_is_said_of_one_fibre_alone(wool, label):
    """303.27: "100 percent" is for a product comprised wholly of one fibre."""
    assert text([all_of(Fibre.COTTON, 100 - Decimal(wool)), all_of(Fibre.WOOL, Decimal(wool))]) == label
