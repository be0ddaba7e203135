"""The story's camera: a picture of a rug on the floor of the dairy, drawn point by point and written as a plain PNG."""

from __future__ import annotations

import struct
import zlib
from collections.abc import Sequence
from typing import Final

WIDE, HIGH, ROW = 640, 800, 11
MARGIN, WARP, THREAD = 70, 16, 3
FLOOR: Final = (0x8C, 0x7A, 0x63)


def a_rug(bands: Sequence[tuple[str, int]], *, rows: int) -> bytes:
    """A rug as a camera above it would see it.

    Args:
        bands: each a colour, ``#rrggbb``, and its rows, from the near end.
        rows: how many of all are woven; the rest of the warp is bare.
    """
    colours = [_points_of(colour) for colour, many in bands for _ in range(many)]
    lines = [_line(HIGH - 1 - at, colours[:rows], len(colours)) for at in range(HIGH)]
    return _png(b"".join(b"\0" + line for line in lines))


def _points_of(colour: str) -> tuple[int, ...]:
    return tuple(bytes.fromhex(colour.removeprefix("#")))


def _line(up: int, woven: Sequence[tuple[int, ...]], rows: int) -> bytes:
    """One line of points, so far up from the near edge of the picture."""
    beside = bytes(FLOOR) * MARGIN
    row = (up - MARGIN) // ROW
    if not 0 <= up - MARGIN < rows * ROW:
        return bytes(FLOOR) * WIDE
    across = WIDE - 2 * MARGIN
    over_two_warps = b"".join(_stitch(at, row, (up - MARGIN) % ROW, woven) for at in range(2 * WARP))
    return beside + (over_two_warps * (across // WARP))[: 3 * across] + beside


def _stitch(at: int, row: int, high: int, woven: Sequence[tuple[int, ...]]) -> bytes:
    """A point of the rug: a bump of weft over every other warp, darker in the dip; or the bare warp."""
    if row >= len(woven):
        return b"\xe6\xdc\xc6" if at % WARP < THREAD else bytes(FLOOR)
    raised = (at // WARP + row) % 2 == 0
    light = (18 if raised else -18) + 14 - abs(high - ROW // 2) * 7
    return bytes(max(0, min(255, tone + light)) for tone in woven[row])


def _png(points: bytes) -> bytes:
    """Lines of points, each behind its filter byte, as a PNG of eight bits a colour."""

    def chunk(kind: bytes, content: bytes) -> bytes:
        return struct.pack(">I", len(content)) + kind + content + struct.pack(">I", zlib.crc32(kind + content))

    head = struct.pack(">IIBBBBB", WIDE, HIGH, 8, 2, 0, 0, 0)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", zlib.compress(points)) + chunk(b"IEND", b"")
