"""A loom in words and drawn: what it makes, its warp, how the weft lies on it, and what a small rug takes."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from shop.core.errors import Refusal
from shop.core.loom import FrameLoom, Loom, ShaftLoom
from shop.usecases.loom import LoomCard, LoomGiven
from shop.usecases.loom_sample import LoomSample, loom_sample
from shop.web.loom_drawing import LoomDrawing, draw
from shop.web.shell import words_now
from shop.words import Words, mark
from shop.words.problems import problem_sentences

KINDS: Final = {
    "frame": mark("Frame with pegs"),
    "shaft": mark("Shaft loom or rigid heddle loom"),
    "plank": mark("Pegs standing in a plank"),
}
KINDS_FOR: Final = {
    "frame": mark(
        "Pegs or nails at both ends, and a warp of one long rag strip. For thick rugs and mats, of the frame’s own length."
    ),
    "shaft": mark(
        "A warp of yarn through heddles and a reed, the weft thrown and beaten. For runners and rugs of any length, and several on one warp."
    ),
    "plank": mark(
        "A doubled yarn hangs from each peg, the weft is wound round the pegs and pushed down. For thick rugs of any length, without a frame."
    ),
}


@dataclass(frozen=True, slots=True)
class Fact:
    """One thing about a loom: its name, its value, where that comes from (``""`` where it needs no saying)."""

    name: str
    value: str
    basis: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class LoomComesTo:
    """What a loom comes to.

    Attributes:
        drawing: it, drawn.
        makes: what it can make.
        sample: what a rug a foot wide takes; empty where it makes none.
        weft: how the weft lies on it, and whose figures these are.
        wrong: why it makes no rug at all.
    """

    drawing: LoomDrawing
    makes: tuple[Fact, ...]
    sample: tuple[Fact, ...]
    weft: tuple[Fact, ...]
    wrong: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class LoomShown:
    """A loom of the shop, as it stands in the list."""

    id: int
    name: str
    kind: str
    comes_to: LoomComesTo


def shown(card: LoomCard) -> LoomShown:
    """A loom of the shop."""
    kind = words_now().say(KINDS[card.loom.kind])
    return LoomShown(id=card.id, name=card.loom.name, kind=kind, comes_to=comes_to(card))


def comes_to(given: LoomGiven) -> LoomComesTo:
    """What a loom comes to, in the shop's words."""
    words, loom = words_now(), given.loom
    try:
        sample = loom_sample(given, units=words.units, currency=words.currency)
    except Refusal as refusal:
        wrong = tuple(problem_sentences(refusal.problems, words))
        return LoomComesTo(drawing=draw(loom), makes=_makes(loom, words), sample=(), weft=(), wrong=wrong)
    return LoomComesTo(
        drawing=draw(loom),
        makes=(*_makes(loom, words), *_yarn(sample, words)),
        sample=_sample(loom, sample, words),
        weft=_weft(sample, words),
    )


def _makes(loom: Loom, words: Words) -> tuple[Fact, ...]:
    say = words.say
    lengths = say("any")
    if isinstance(loom, FrameLoom):
        lengths = words.either([words.length(length, as_size=True) for length in loom.lengths])
        warp = words.say_n("%(n)s peg on each end", "%(n)s pegs on each end", loom.pegs)
    elif isinstance(loom, ShaftLoom):
        number = words.number(loom.sett.per, 3, trimmed=True)
        warp = say("%(number)s ends to the centimetre", number=number)
        if loom.sett.unit == "in":
            warp = say("%(number)s ends to the inch", number=number)
    else:
        warp = words.say_n("%(n)s peg", "%(n)s pegs", loom.pegs)
    return (
        Fact(say("Widest rug in one piece"), words.length(loom.widest, as_size=True)),
        Fact(say("Lengths it makes"), lengths),
        Fact(say("Warp"), warp),
    )


def _yarn(sample: LoomSample, words: Words) -> tuple[Fact, ...]:
    if sample.yarn is None:
        return (Fact(words.say("Warp is of"), words.say("rag strip, cut as the weft")),)
    far = words.say("%(number)s m/kg", number=words.number(sample.yarn.metres_per_kg, 0))
    if words.units == "imperial":
        far = words.say("%(number)s yd/lb", number=words.number(sample.yarn.yards_per_pound, 0))
    said = sample.yarn.text if far in sample.yarn.text else f"{sample.yarn.text} · {far}"
    return (Fact(words.say("Warp yarn"), said, sample.yarn_basis.value),)


def _sample(loom: Loom, sample: LoomSample, words: Words) -> tuple[Fact, ...]:
    say, warp, made = words.say, sample.warp, sample.made
    size = Fact(say("A rug of"), words.size(made.size))
    length = words.strip_length(warp.length.metres)
    if isinstance(loom, FrameLoom):
        pegs = words.say_n("%(n)s peg on each end", "%(n)s pegs on each end", made.pegs)
        passes = words.say_n("%(n)s strip up and down", "%(n)s strips up and down", warp.passes)
        return (size, Fact(say("takes"), pegs), Fact(say("Warp"), f"{passes}, {length}"))
    ends = words.say_n("%(n)s end", "%(n)s ends", warp.ends)
    each = say("%(ends)s of %(length)s each", ends=ends, length=words.strip_length(warp.one.metres))
    weight = say("%(length)s, %(weight)s", length=length, weight=words.weight(sample.yarn_grams))
    found = [size, Fact(say("takes"), each), Fact(say("Warp yarn"), weight)]
    if made.pegs:
        pegs = words.say_n("%(n)s peg", "%(n)s pegs", made.pegs)
        found[1] = Fact(say("takes"), f"{pegs}, {each}")
    if sample.yarn_cost is not None:
        found.append(Fact(say("Which costs"), words.money(sample.yarn_cost)))
    return tuple(found)


def _weft(sample: LoomSample, words: Words) -> tuple[Fact, ...]:
    say = words.say
    rows = say("%(number)s to the inch", number=words.number(sample.rows_per_inch, 1))
    if words.units == "metric":
        rows = say("%(number)s to the centimetre", number=words.number(sample.rows_per_inch / 2.54, 2))
    return (
        Fact(say("Usual strip"), words.length(sample.strip), sample.strip_basis.value),
        Fact(say("Rows pack (k)"), words.number(sample.packing, 2), sample.packing_basis.value),
        Fact(say("Rows of cotton sheeting"), rows, sample.packing_basis.value),
        Fact(say("Strip over width (m)"), words.number(sample.take_up, 2), sample.take_up_basis.value),
    )
