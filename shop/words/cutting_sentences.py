"""The sentences for problems of a cutting plan."""

from __future__ import annotations

from typing import Final

from shop.words.catalogue import mark

CUTTING: Final[dict[str, str]] = {
    "cutting.strip": mark("A strip needs a width."),
    "cutting.many": mark("A plan can be made of at most %(pieces)s pieces for at most %(bands)s bands."),
    "cutting.no_piece": mark("Name at least one piece of cloth, each as [[piece]]."),
    "cutting.no_band": mark("Name at least one band, each as [[band]]."),
    "cutting.missing": mark("Say its %(key)s."),
    "cutting.day": mark("%(text)s is no day. Write it as 2026-03-14."),
    "cutting.two_choices": mark("Name the pieces or a colour, not both."),
    "cutting.within": mark("A distance needs a colour to be measured from."),
    "cutting.no_such_piece": mark("There is no piece called %(text)s in this file."),
    "cutting.name_twice": mark("The name %(text)s is used twice. Give each its own."),
    "cutting.wish_twice": mark("The same wish is named twice."),
    "cutting.two_ways": mark("%(name)s cannot be cut both ways."),
    "cutting.stranger": mark("%(name)s may not serve that band."),
    "cutting.beyond": mark("%(name)s does not give so many strips."),
}
