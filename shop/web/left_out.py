"""What a described rug takes for each thing that it leaves out, read off the arithmetic itself."""

from __future__ import annotations

from dataclasses import dataclass, fields
from decimal import Decimal

from shop.core.cloth import FLAT_SHEETS
from shop.core.hours import PACES, pace_guess
from shop.core.keys import (
    DEPOSIT_GUESS,
    MARKUP_GUESS,
    SHEETING,
    YARN_KIND_GUESS,
    Units,
    money_guess,
    strip_guess,
    yarn_guess,
)
from shop.core.loom import FrameLoom, Loom, PlankLoom, Sett, ShaftLoom
from shop.core.measure import Length
from shop.core.strips import Join, join_loss
from shop.core.weft import CUTTING_WASTE, packing_guess, take_up_guess
from shop.web.loom_form import yarn_price_text
from shop.words import Words

LOOMS: tuple[Loom, ...] = (FrameLoom(), ShaftLoom(), PlankLoom())
_SHARES = ("draw_in", "take_up", "relaxation")


@dataclass(frozen=True, slots=True)
class LeftOut:
    """A name that was left out, and what is taken for it on each kind of loom."""

    name: str
    frame: str
    shaft: str
    plank: str

    @property
    def alike(self) -> bool:
        """Whether it is the same on every loom."""
        return self.frame == self.shaft == self.plank


def left_out(words: Words) -> tuple[LeftOut, ...]:
    """Every default that stands for the shop's own experience, in the order of the tables."""
    rows = [LeftOut("loom.kind", *("frame",) * 3)]
    names = [field.name for loom in LOOMS for field in fields(loom) if field.name not in ("name", "bar_places")]
    rows += [LeftOut(f"loom.{name}", *(_of_loom(loom, name, words) for loom in LOOMS)) for name in dict.fromkeys(names)]
    units = Units(words.units)
    yarn = yarn_price_text(yarn_guess(words.currency, units), words)
    rows += [LeftOut("loom.yarn", "", *(YARN_KIND_GUESS,) * 2), LeftOut("loom.yarn_price", "", yarn, yarn)]
    rows.append(LeftOut("weft.strip", *(words.length(strip_guess(loom.kind, units)) for loom in LOOMS)))
    rows.append(LeftOut("weft.packing", *(words.number(packing_guess(loom), 2) for loom in LOOMS)))
    rows.append(LeftOut("weft.take_up", *(words.number(take_up_guess(loom), 2) for loom in LOOMS)))
    sheet = FLAT_SHEETS["full"]
    overlap = words.say("overlap, %(length)s", length=words.length(join_loss(Join.OVERLAP, Length.of(1, "in"))))
    rows += [
        _same("weft.cloth_weight", words.cloth_weight(SHEETING)),
        _same("weft.fibre", "cotton"),
        _same("weft.tool", "rotary"),
        _same("weft.way", "along"),
        _same("weft.joins", overlap),
        _same("weft.waste", words.percent(CUTTING_WASTE)),
        _same("cloth.width", words.length(sheet[0])),
        _same("cloth.length", words.length(sheet[1])),
        _same("cloth.paid", words.money(money_guess("cloth", words.currency))),
    ]
    paces = [pace_guess(loom.kind) for loom in LOOMS]
    rows += [
        LeftOut(f"hours.pace.{name}", *(words.number(getattr(pace, name), 2, trimmed=True) for pace in paces))
        for name in PACES
    ]
    rows += [
        _same("rates.wage", words.money(money_guess("wage", words.currency))),
        _same("rates.overhead_per_hour", words.money(money_guess("overhead", words.currency))),
        _same("price.markup", words.percent(MARKUP_GUESS)),
        _same("price.retail_times", "2"),
        _same("price.deposit", words.percent(DEPOSIT_GUESS)),
    ]
    return tuple(rows)


def _same(name: str, text: str) -> LeftOut:
    return LeftOut(name, text, text, text)


def _of_loom(loom: Loom, name: str, words: Words) -> str:
    value = getattr(loom, name, None)
    if value is None:
        return ""
    if isinstance(value, Sett):
        return value.text()
    if name in _SHARES:
        return words.percent(Decimal(str(value)))
    return words.written(value)
