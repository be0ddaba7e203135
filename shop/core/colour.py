"""Colours as the eye orders them: where a swatch stands on the shelf, and how different two swatches look.

Colours come as ``#rrggbb`` in sRGB (IEC 61966-2-1, D65). Hue, chroma and lightness are those of OKLab (B. Ottosson, "A
perceptual color space for image processing", 2020); differences are CIEDE2000 (G. Sharma, W. Wu and E. N. Dalal, "The
CIEDE2000 color-difference formula: implementation notes, supplementary test data, and mathematical observations", 2005)
in CIELAB under D65.
"""

from __future__ import annotations

import math
from enum import Enum
from functools import lru_cache
from typing import Final, NamedTuple

GREY_BELOW: Final = 0.03
"""OKLab chroma below which a swatch looks undyed, and so stands among the greys whatever its hue. Bleached cotton
(``#f4efe4``), undyed linen (``#e3dccb``) and ecru (``#e8dfcc``) lie at 0.016 to 0.027; a faded denim (``#8fa0b5``), which
people call blue, at 0.036."""
BANDS_OF_HUE: Final = 24
"""Bands that the hue circle is cut into; within a band swatches stand light to dark, so that neighbours look alike."""
FIRST_HUE: Final = 350.0
"""Where the circle is begun, in degrees: before red, so that reds stay together."""
_TO_XYZ: Final = (
    (0.4123907992659595, 0.357584339383878, 0.1804807884018343),
    (0.2126390058715104, 0.715168678767756, 0.0721923153607337),
    (0.0193308187155918, 0.119194779794626, 0.9505321522496607),
)
_WHITE: Final = (0.9504559270516716, 1.0, 1.0890577507598784)
_TO_LMS: Final = (
    (0.4122214708, 0.5363325363, 0.0514459929),
    (0.2119034982, 0.6806995451, 0.1073969566),
    (0.0883024619, 0.2817188376, 0.6299787005),
)
_TO_OKLAB: Final = (
    (0.2104542553, 0.7936177850, -0.0040720468),
    (1.9779984951, -2.4285922050, 0.4505937099),
    (0.0259040371, 0.7827717662, -0.8086757660),
)


class Lab(NamedTuple):
    """A colour by its lightness and two opponent axes: CIELAB, or OKLab."""

    lightness: float
    a: float
    b: float


class Shade(NamedTuple):
    """A colour in OKLab, the way people speak of it: lightness 0 to 1, chroma from 0, hue in degrees."""

    lightness: float
    chroma: float
    hue: float


class Family(Enum):
    """Plain words for colours, each with a swatch that stands for it."""

    WHITE = "white"
    GREY = "grey"
    BLACK = "black"
    BROWN = "brown"
    RED = "red"
    ORANGE = "orange"
    YELLOW = "yellow"
    GREEN = "green"
    TEAL = "teal"
    BLUE = "blue"
    PURPLE = "purple"
    PINK = "pink"


COLOUR_FAMILIES: Final[dict[Family, str]] = {
    Family.WHITE: "#f4efe4",
    Family.GREY: "#8b8b8b",
    Family.BLACK: "#1e1e1e",
    Family.BROWN: "#7a5230",
    Family.RED: "#b3262a",
    Family.ORANGE: "#dd7a2b",
    Family.YELLOW: "#e3c341",
    Family.GREEN: "#4d8a3e",
    Family.TEAL: "#2f8a8a",
    Family.BLUE: "#3a5fa8",
    Family.PURPLE: "#77478f",
    Family.PINK: "#dd8fa4",
}

_ALSO: Final[dict[Family, tuple[str, ...]]] = {
    Family.GREY: ("#c0c0c0", "#555555"),
    Family.BROWN: ("#c2a27c", "#4a2f1b", "#8c7550", "#9a7f70"),
    Family.RED: ("#6d1418", "#e0514e"),
    Family.ORANGE: ("#f0b27a",),
    Family.YELLOW: ("#f3e6a0", "#b99a1f"),
    Family.GREEN: ("#a8c99a", "#1f4d2b", "#77772b", "#8a9b78"),
    Family.TEAL: ("#9fd0d0", "#0f4f52", "#d4f4f2"),
    Family.BLUE: ("#9fb8dd", "#1f2a6c", "#00008b", "#8cc4e8", "#b4d4ea", "#cfe0f2", "#7890a8"),
    Family.PURPLE: ("#b79ac9", "#3d1f55", "#dcd4f0", "#9470d0", "#4b0f7c"),
    Family.PINK: ("#ffc0cb", "#c2407a", "#f040c0"),
}
"""Light, dark and faded swatches that go by the same word."""


def _linear(colour: str) -> tuple[float, float, float]:
    """Red, green and blue of ``#rrggbb`` as light, 0 to 1."""
    parts = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    red, green, blue = (
        part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts
    )
    return red, green, blue


def _times(
    rows: tuple[tuple[float, float, float], ...], of: tuple[float, float, float]
) -> tuple[float, float, float]:
    one, two, three = (row[0] * of[0] + row[1] * of[1] + row[2] * of[2] for row in rows)
    return one, two, three


@lru_cache(maxsize=4096)
def lab(colour: str) -> Lab:
    """CIELAB under D65 of ``#rrggbb``."""
    x, y, z = (part / white for part, white in zip(_times(_TO_XYZ, _linear(colour)), _WHITE, strict=True))
    fx, fy, fz = (
        math.cbrt(part) if part > 216 / 24389 else (24389 / 27 * part + 16) / 116 for part in (x, y, z)
    )
    return Lab(116 * fy - 16, 500 * (fx - fy), 200 * (fy - fz))


@lru_cache(maxsize=4096)
def oklab(colour: str) -> Lab:
    """OKLab of ``#rrggbb``."""
    long, medium, short = _times(_TO_LMS, _linear(colour))
    return Lab(*_times(_TO_OKLAB, (math.cbrt(long), math.cbrt(medium), math.cbrt(short))))


def shade_of(colour: str) -> Shade:
    """Lightness, chroma and hue of ``#rrggbb`` in OKLab."""
    found = oklab(colour)
    hue = math.degrees(math.atan2(found.b, found.a)) % 360
    return Shade(found.lightness, math.hypot(found.a, found.b), hue)


def shelf_place(colour: str) -> int:
    """Where ``#rrggbb`` stands on the shelf: greys first, light to dark, then round the hue circle from red.

    The formula stays as it is for ever: the shelf keeps its number beside each piece, so another formula would mix two
    orders. Should the eye ever ask for one, every number kept has to be reckoned anew in the same step.

    Args:
        colour: ``#rrggbb``, in either case.

    Returns:
        A whole number, 0 to 2 410 000: a hundred thousand for each band of hue (0 the greys, 1 to 24 the bands from red on),
        and ten thousandths of how far the lightness falls short of white.
    """
    shade = shade_of(colour)
    band = 0
    if shade.chroma >= GREY_BELOW:
        band = 1 + int((shade.hue - FIRST_HUE) % 360 * BANDS_OF_HUE / 360)
    return band * 100_000 + round((1 - min(1.0, max(0.0, shade.lightness))) * 10_000)


def ciede2000(one: Lab, other: Lab) -> float:
    """The CIEDE2000 difference of two CIELAB colours, with all three weights 1 (Sharma, Wu and Dalal 2005, equations 2 to 22)."""
    chroma_one, chroma_other = math.hypot(one.a, one.b), math.hypot(other.a, other.b)
    mean7 = ((chroma_one + chroma_other) / 2) ** 7
    stretch = 1 + 0.5 * (1 - math.sqrt(mean7 / (mean7 + 25.0**7)))
    a1, a2 = one.a * stretch, other.a * stretch
    c1, c2 = math.hypot(a1, one.b), math.hypot(a2, other.b)
    h1, h2 = (
        math.degrees(math.atan2(b, a)) % 360 if (a or b) else 0.0 for a, b in ((a1, one.b), (a2, other.b))
    )
    apart = h2 - h1
    if c1 * c2 == 0:
        apart, mean_hue = 0.0, h1 + h2
    elif abs(apart) <= 180:
        mean_hue = (h1 + h2) / 2
    else:
        mean_hue = (h1 + h2 + 360) / 2 if h1 + h2 < 360 else (h1 + h2 - 360) / 2
        apart += 360 if apart < -180 else -360
    lightness, chroma = other.lightness - one.lightness, c2 - c1
    hue = 2 * math.sqrt(c1 * c2) * math.sin(math.radians(apart / 2))
    mean_lightness, mean_chroma = (one.lightness + other.lightness) / 2, (c1 + c2) / 2
    by_hue = (
        1
        - 0.17 * math.cos(math.radians(mean_hue - 30))
        + 0.24 * math.cos(math.radians(2 * mean_hue))
        + 0.32 * math.cos(math.radians(3 * mean_hue + 6))
        - 0.20 * math.cos(math.radians(4 * mean_hue - 63))
    )
    from_50 = (mean_lightness - 50) ** 2
    weigh_lightness = 1 + 0.015 * from_50 / math.sqrt(20 + from_50)
    weigh_chroma = 1 + 0.045 * mean_chroma
    weigh_hue = 1 + 0.015 * mean_chroma * by_hue
    turn = 30 * math.exp(-(((mean_hue - 275) / 25) ** 2))
    chroma7 = mean_chroma**7
    turned = -2 * math.sqrt(chroma7 / (chroma7 + 25.0**7)) * math.sin(math.radians(2 * turn))
    l_part, c_part, h_part = lightness / weigh_lightness, chroma / weigh_chroma, hue / weigh_hue
    return math.sqrt(max(0.0, l_part**2 + c_part**2 + h_part**2 + turned * c_part * h_part))


@lru_cache(maxsize=65536)
def difference(one: str, other: str) -> float:
    """How different two colours ``#rrggbb`` look: below 1 hardly anybody tells them apart; 100 is black from white."""
    return ciede2000(lab(one), lab(other))


@lru_cache(maxsize=16384)
def family_of(colour: str) -> Family:
    """The plain word for a colour ``#rrggbb``: that of the swatch that it looks most like (CIEDE2000)."""
    seen = lab(colour)

    def nearest(family: Family) -> float:
        swatches = (COLOUR_FAMILIES[family], *_ALSO.get(family, ()))
        return min(ciede2000(seen, lab(swatch)) for swatch in swatches)

    return min(COLOUR_FAMILIES, key=nearest)


def ink_on(colour: str) -> str:
    """``#000000`` or ``#ffffff``, whichever stands out more on ``#rrggbb`` (contrast ratio of WCAG 2.2)."""
    red, green, blue = _linear(colour)
    luminance = 0.2126 * red + 0.7152 * green + 0.0722 * blue
    return "#000000" if (luminance + 0.05) / 0.05 > 1.05 / (luminance + 0.05) else "#ffffff"
