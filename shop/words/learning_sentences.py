"""Sentences about what the shop's own rugs say, and about the risk in a price."""

from __future__ import annotations

from typing import Final

from shop.words.catalogue import mark

LEARNING: Final[dict[str, str]] = {
    "evidence.value": mark("%(value)s cannot be what this came to. Look at its unit and its decimals."),
    "evidence.size": mark("%(value)s is no size that this can have."),
    "evidence.weight": mark("A record cannot be worth %(value)s rugs."),
    "doubt.of": mark("Say which number this doubt is of: one of %(names)s."),
    "doubt.twice": mark("The doubt of %(name)s is described twice."),
    "doubt.many": mark("At most %(most)s doubts can be described."),
    "lesson.unknown": mark("There is no such number on that loom."),
    "quick.missing": mark("Say this too: it is needed to reckon with."),
    "quick.longer": mark("More was lost than there was. Look at the two lengths."),
    "quick.unknown": mark("There is no such measurement."),
    "quick.struck": mark("This measurement is struck out already."),
    "evidence.unknown": mark("There is no such record any more."),
    "evidence.aside": mark("This record is set aside already."),
    "learning.changed": mark("How long your pace holds was changed meanwhile. Look at it, and set it again if you like."),
    "risk.chance": mark("A chance lies between 0 and 1; this is %(chance)s."),
    "risk.likely": mark("The chance that a customer says yes lies between 0 and 1; this is %(chance)s."),
    "risk.twice": mark("The same quote stands in the month twice."),
}
