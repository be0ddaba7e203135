"""The shop's own figures for a rug that is planned: laid into its description in the place of guesses, with their doubt.

A number that the weaver has set or measured herself stays as she has set it until three rugs speak of it.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final

from shop.core import own_figures as core
from shop.core.errors import Refusal
from shop.core.evidence import What
from shop.core.loom import FrameLoom, Size, fit
from shop.core.own_doubt import OF_THE_RUG, PACE_OF_THE_RUG, TOLD
from shop.core.own_figures import ForRug, OwnFigures, edges_of
from shop.core.own_rugs import Answer
from shop.core.spread import Basis
from shop.usecases.chosen import Chosen
from shop.usecases.loom import LoomCard
from shop.usecases.loom_sample import warp_on
from shop.usecases.pace import PaceLine, paces_on
from shop.usecases.rugs_say import RugsSay, pace_as_set

SPEAK: Final = 3
"""So many rugs outweigh what the weaver has set."""
_WEFT: Final = {What.PACKING: ("packing", 0.2, 50.0), What.TAKE_UP: ("take_up", 1.0, 10.0), What.WASTE: ("waste", 0.0, 0.8)}
_LOOM: Final = {What.DRAW_IN: "draw_in", What.RELAXATION: "relaxation"}
_MOST_SHARE: Final = 0.5
_SLOWEST: Final = 10_000.0


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnForRug:
    """The shop's own figures for a rug, and for which rug they are."""

    rug: ForRug
    figures: OwnFigures


def own_for(
    says: RugsSay | None, paces: tuple[PaceLine, ...], chosen: Chosen, card: LoomCard, kinds: dict[int, str]
) -> OwnForRug | None:
    """The shop's own figures for a rug; ``None`` where it cannot be made, or nothing was ever seen.

    Args:
        says: what the shop's rugs say.
        paces: as the shop has set them.
        chosen: for the rug.
        card: the loom that it is planned on.
        kinds: the kind of each piece of cloth that is there, by number.
    """
    if says is None or not says.learned.lessons:
        return None
    rug = rug_for(paces, chosen, card, kinds)
    if rug is None:
        return None
    pace = pace_as_set(paces, card.loom.kind)
    return OwnForRug(rug=rug, figures=core.own_figures(says.learned, rug, pace))


def rug_for(paces: tuple[PaceLine, ...], chosen: Chosen, card: LoomCard, kinds: dict[int, str]) -> ForRug | None:
    """The rug that figures are wanted for; ``None`` where no loom of the shop's makes it. Arguments as above."""
    if not card.id:
        return None
    try:
        made = fit(card.loom, Size(chosen.width, chosen.length))
        warp = warp_on(card.loom, made)
    except Refusal:
        return None
    kind, cloth = _main_cloth(chosen, kinds)
    return ForRug(
        on=str(card.id),
        loom=card.loom,
        tool=chosen.tool,
        kind=kind,
        cloth=cloth,
        row_m=made.panel_width.metres,
        threads=warp.passes or warp.ends,
        edges=edges_of(made.panels, made.size.length.metres, pace_as_set(paces, card.loom.kind)),
    )


def _main_cloth(chosen: Chosen, kinds: dict[int, str]) -> tuple[str, str]:
    """The kind of the cloth that most of the rug is of, and its number; empty where it is still to be bought."""
    shares = [(share, kinds[number], str(number)) for number, share in chosen.pieces if number in kinds]
    if chosen.new_cloth is not None:
        shares.append((chosen.new_cloth.share, chosen.new_cloth.kind.value, ""))
    most = max(shares, key=lambda one: one[0], default=None)
    return ("", "") if most is None else most[1:]


def lay_in(
    document: dict[str, Any], own: OwnForRug, paces: tuple[PaceLine, ...], measured: list[str], guessed: list[str]
) -> None:
    """Put the shop's own figures into a described rug.

    Args:
        document: the described rug, without them.
        own: the figures.
        paces: as the shop has set them.
        measured: names of numbers measured here, which change with it.
        guessed: names of numbers that are guesses, which change with it.
    """
    kind = own.rug.loom.kind
    set_by_hand = {key for key, line in paces_on(paces, kind).items() if line.basis is not Basis.GUESS}
    doubts = []
    for what, answer in own.figures.answers.items():
        if not _speaks(what, answer, document, set_by_hand, own, guessed):
            continue
        names = _put(what, answer, document, own)
        measured += [name for name in names if name not in measured]
        guessed[:] = [name for name in guessed if name not in names]
        if what.value in TOLD:
            doubts.append(_doubt(answer))
    if doubts:
        document["doubt"] = doubts


def _speaks(
    what: What, answer: Answer, document: dict[str, Any], by_hand: set[str], own: OwnForRug, guessed: list[str]
) -> bool:
    """Whether the rugs' answer takes the place of what stands there."""
    if answer.basis is not Basis.MEASURED:
        return False
    weft = document["weft"]
    if what is What.PACKING and "rows_per_inch" in weft:
        return False
    if what in _WEFT:
        stands = _WEFT[what][0] in weft
    elif what in _LOOM:
        stands = what.value not in guessed
    else:
        stands = bool(by_hand & set(_paces_of(what, own)))
    return not stands or answer.sources.rugs >= SPEAK


def _paces_of(what: What, own: OwnForRug) -> tuple[str, ...]:
    """The paces that a number is made of."""
    each = "warp_per_pass" if isinstance(own.rug.loom, FrameLoom) else "warp_per_end"
    return {
        What.ROW: ("weave_per_row", "weave_per_row_m"),
        What.CUT: (f"cut_{own.rug.tool.value}_per_m",),
        What.WARP: ("warp_set_up", each),
        What.FINISH: ("finish_set_up", "finish_per_edge", "seam_per_m"),
    }[what]


def _put(what: What, answer: Answer, document: dict[str, Any], own: OwnForRug) -> list[str]:
    """Put one answer in its place; gives the names of what was put."""
    if what in _WEFT:
        name, least, most = _WEFT[what]
        document["weft"][name] = min(most, max(least, answer.middle))
        return [f"weft.{name}"]
    if what in _LOOM:
        document["loom"][_LOOM[what]] = min(_MOST_SHARE, answer.middle)
        return [what.value]
    keys = _paces_of(what, own)
    document["hours"]["pace"] |= {key: min(_SLOWEST, getattr(own.figures.pace, key)) for key in keys}
    return [f"hours.pace.{key}" for key in keys]


def _doubt(answer: Answer) -> dict[str, object]:
    of = answer.question.what.value
    sigma, sources = dict(answer.estimate.doubts), answer.sources
    told: dict[str, object] = {
        "of": of,
        "spread": sigma.get(of, 0.0),
        "rug": sigma.get(of + OF_THE_RUG, 0.0),
        "rugs": sources.rugs,
        "kind": sources.of_kind,
        "cloth": sources.of_cloth,
        "quick": sources.quick,
    }
    if PACE_OF_THE_RUG in sigma:
        told["day"] = sigma[PACE_OF_THE_RUG]
    return told
