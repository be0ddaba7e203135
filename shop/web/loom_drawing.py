"""A loom drawn small, by its kind and in its own proportions: a frame with pegs, a reed, a plank with pegs."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from shop.core.loom import FrameLoom, Loom, PlankLoom, ShaftLoom

BOX: Final = (220.0, 150.0)
MOST_DRAWN: Final = 34
"""Pegs or ends drawn at the most; a loom that has more is drawn with so many."""
WOOD, WOOD_DARK, WARP, INK = "#d9bd8d", "#8a6a38", "#b9ab8e", "#23201b"
CLOTH: Final = ("#2b3d6e", "#d8c9a8", "#97291d", "#d8c9a8", "#5b6d9e", "#d8c9a8")


@dataclass(frozen=True, slots=True)
class Bar:
    """A rectangle, in the units of the picture."""

    x: float
    y: float
    width: float
    height: float
    fill: str
    edge: str = "none"
    round: float = 0.0


@dataclass(frozen=True, slots=True)
class Strand:
    """A line."""

    path: str
    stroke: str
    width: float
    dashes: str = ""


@dataclass(frozen=True, slots=True)
class LoomDrawing:
    """A loom drawn: its strands lie between the bars behind and the bars in front."""

    behind: tuple[Bar, ...]
    strands: tuple[Strand, ...]
    front: tuple[Bar, ...]
    box: tuple[float, float] = BOX


def draw(loom: Loom) -> LoomDrawing:
    """The loom, drawn."""
    if isinstance(loom, FrameLoom):
        return _frame(loom)
    return _reed(loom) if isinstance(loom, ShaftLoom) else _plank(loom)


def _places(number: int, left: float, width: float) -> list[float]:
    """Where so many pegs or ends stand, the middle of each."""
    drawn = max(1, min(number, MOST_DRAWN))
    return [round(left + (place + 0.5) * width / drawn, 2) for place in range(drawn)]


def _rows(left: float, width: float, low: float, high: float, tall: float) -> list[Bar]:
    """Woven rows in stripes, from ``low`` up to ``high``."""
    count = max(1, int((low - high) / tall))
    return [
        Bar(round(left, 2), round(low - (row + 1) * tall, 2), round(width, 2), tall - 0.4, CLOTH[row // 2 % len(CLOTH)])
        for row in range(count)
    ]


def _frame(loom: FrameLoom) -> LoomDrawing:
    """Two bars of pegs, the strip wound between them, and a little woven at the bottom."""
    longest = loom.lengths[-1]
    scale = min(176 / loom.widest.metres, 112 / longest.metres)
    width, tall = max(24.0, loom.widest.metres * scale), max(24.0, longest.metres * scale)
    left, bottom = (BOX[0] - width) / 2, (BOX[1] + tall) / 2
    top = bottom - tall
    pegs = _places(loom.pegs, left, width)
    behind = [
        Bar(left - 8, top - 12, 7, tall + 24, WOOD, WOOD_DARK),
        Bar(left + width + 1, top - 12, 7, tall + 24, WOOD, WOOD_DARK),
        Bar(left - 8, top - 12, width + 16, 9, WOOD, WOOD_DARK),
        Bar(left - 8, bottom + 3, width + 16, 9, WOOD, WOOD_DARK),
    ]
    gap = min(1.6, width / len(pegs) / 4)
    winding = "".join(f"M{x - gap:.1f} {top:.1f}V{bottom:.1f}M{x + gap:.1f} {top:.1f}V{bottom:.1f}" for x in pegs)
    strands = [Strand(winding, WARP, max(0.6, min(1.8, gap)))]
    for length in loom.lengths[:-1]:
        y = bottom - tall * (length.metres / longest.metres)
        strands.append(Strand(f"M{left - 8:.1f} {y:.1f}H{left + width + 8:.1f}", WOOD_DARK, 1.4, "5 3"))
    size = max(1.0, min(2.6, width / len(pegs) / 2.6))
    front = _rows(left, width, bottom - 2, bottom - 2 - tall * 0.34, 3.0)
    front += [Bar(x - size, y - size, 2 * size, 2 * size, INK, "none", size) for x in pegs for y in (top, bottom)]
    return LoomDrawing(tuple(behind), tuple(strands), tuple(front))


def _reed(loom: ShaftLoom) -> LoomDrawing:
    """Shafts above, the reed in its beater, and the cloth drawing in below it."""
    width = min(184.0, max(60.0, loom.width.metres * 150))
    left, middle = (BOX[0] - width) / 2, BOX[0] / 2
    ends = _places(int(loom.width.metres * loom.sett.per_metre), left, width)
    behind = [
        Bar(left - 14, 6, 8, 138, WOOD, WOOD_DARK),
        Bar(left + width + 6, 6, 8, 138, WOOD, WOOD_DARK),
        Bar(left - 14, 4, width + 28, 8, WOOD, WOOD_DARK),
    ]
    even, odd = ends[::2], ends[1::2]
    shafts = [Bar(left - 3, y, width + 6, 3, WOOD_DARK) for y in (20, 40, 26, 46)]
    strands = [
        Strand("".join(f"M{x} 12V84" for x in ends), WARP, 0.9),
        Strand("".join(f"M{x} 23V40" for x in even), INK, 0.7),
        Strand("".join(f"M{x} 29V46" for x in odd), "#857a66", 0.7),
        Strand("".join(f"M{x} 60V82" for x in ends), INK, 0.8),
    ]
    drawn_in = width * (1 - loom.draw_in)
    cloth = _rows(middle - drawn_in / 2, drawn_in, 136, 90, 3.6)
    side = (
        f"M{ends[0]} 84L{middle - drawn_in / 2:.1f} 92M{ends[-1]} 84L{middle + drawn_in / 2:.1f} 92"
    )
    front = [
        *shafts,
        Bar(left - 8, 56, width + 16, 5, WOOD, WOOD_DARK),
        Bar(left - 8, 80, width + 16, 6, WOOD, WOOD_DARK),
        *cloth,
        Bar(left - 14, 136, width + 28, 8, WOOD, WOOD_DARK),
    ]
    return LoomDrawing(tuple(behind), (*strands, Strand(side, WARP, 1.0)), tuple(front))


def _plank(loom: PlankLoom) -> LoomDrawing:
    """Pegs standing in a plank, doubled yarn hanging below it, weft wound between the pegs above."""
    width = min(190.0, max(48.0, loom.widest.metres * 150))
    left = (BOX[0] - width) / 2
    pegs = _places(loom.pegs, left, width)
    size = max(1.1, min(3.2, width / len(pegs) / 3))
    hanging = "".join(f"M{x - 0.9} 92V136M{x + 0.9} 92V136M{x - 1.8} 138h3.6" for x in pegs)
    behind = [Bar(x - size, 18, 2 * size, 64, WOOD, WOOD_DARK, size) for x in pegs]
    winding = []
    for row in range(7):
        y = 73 - row * 6.0
        path = f"M{left - 3:.1f} {y:.1f}"
        for place, x in enumerate(pegs):
            side = 2.4 if (place + row) % 2 else -2.4
            path += f"Q{x:.1f} {y + 2 * side:.1f} {x + width / len(pegs) / 2:.1f} {y:.1f}"
        winding.append(Strand(path, CLOTH[row % len(CLOTH)], 4.6))
    front = [Bar(left - 14, 80, width + 28, 13, WOOD, WOOD_DARK, 2.0)]
    return LoomDrawing(tuple(behind), (Strand(hanging, WARP, 0.9), *winding), tuple(front))
