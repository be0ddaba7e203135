"""Sentences about stripes."""

from typing import Final

from shop.words.catalogue import mark

STRIPES: Final[dict[str, str]] = {
    "stripes.none": mark("There is no stripe in the plan."),
    "stripes.no_field": mark("There are only borders. Plan at least one stripe between them."),
    "stripes.over": mark("The stripes are longer than the rug: take away %(over)s."),
    "stripes.under": mark(
        "The stripes do not fill the rug: %(under)s is missing. Let one of them take whatever is left, or go on to the end."
    ),
    "stripes.thin": mark("A stripe is narrower than a row of its cloth, which takes %(row)s."),
    "stripes.no_rest": mark("The other stripes fill the rug; nothing is left for the one that takes whatever is left."),
    "stripes.endless": mark(
        "Stripes that go on to the end need a length of their own: rows, a length, or a share of the rug."
    ),
    "stripes.border_rest": mark("A border needs a length of its own: rows, a length, or a share of the rug."),
    "stripes.many": mark("That is more than %(most)s stripes in one rug. Repeat them less often, or make them longer."),
    "stripes.count": mark("There may be at most %(most)s stripes in a plan, and at least one; they can be repeated."),
    "stripes.unused": mark("%(name)s is in no stripe. Give it one, or leave it out of the rug."),
    "stripes.alone": mark("“%(key)s” is said of stripes, and there are none."),
    "stripes.alone_of_many": mark("A stripe of several cloths needs to be told how they take turns: “pick” or “chance”."),
    "stripes.two": mark("Two cloths take turns pick by pick; name two."),
    "stripes.how_long": mark("How long is the stripe? Say one of rows, length, share or rest."),
    "stripes.which": mark("Say what the number counts: rows, a length, or per cent of the rug."),
    "stripes.no_share": mark("A stripe needs a share of the rug that is more than nothing."),
    "stripes.least": mark("The most rows of a small stripe cannot be fewer than the least, %(least)s."),
    "stripes.no_cloth": mark("Say of which cloths: tick those that come by chance, or name them."),
    "stripes.cloth": mark("“%(text)s” is no cloth of this rug. Name a cloth, or its place in the list."),
}
