"""A photograph as it comes from a phone, made into one to keep: upright, of a moderate size, and nothing but a picture.

Where it was taken, when, and with what is not carried over: the picture is drawn anew, and only its colours are kept.
"""

from __future__ import annotations

import io
import threading
import warnings
from dataclasses import dataclass
from statistics import median
from typing import Final

from PIL import Image, ImageCms, ImageOps, UnidentifiedImageError

from shop.core.colour import Lab, oklab
from shop.core.errors import Problem, Refusal

LARGEST_FILE: Final = 25 * 1024 * 1024
KINDS: Final = ("JPEG", "PNG", "WEBP")
"""What is read; a phone's other kinds are sent as JPEG when its browser is asked for a picture."""
MOST_POINTS: Final = {"JPEG": 120_000_000, "MPO": 120_000_000, "PNG": 50_000_000, "WEBP": 30_000_000}
"""Points that a picture may have: more than phones take. A JPEG is unpacked at a part of its size, the others whole."""
LONG_SIDE: Final = 1600
THUMBNAIL: Final = 360
LINEN: Final = "#f5efe2"
"""What lies under a picture that is clear in places."""
ORIENTATION: Final = 0x0112
"""The tag of EXIF that says which side is up."""
SMALL_SIDES: Final = (THUMBNAIL, 300, 240, 180, 120)
QUALITIES: Final = (80, 70, 60, 50)
SAMPLES: Final = 32
"""Points to a side that the colour of a picture is looked for in."""

_in_turn = threading.Lock()
"""One picture at a time: a large one fills the memory of a small machine, and what is done with warnings is everybody's."""


@dataclass(frozen=True, slots=True)
class Picture:
    """A picture to keep: a JPEG and a small one."""

    image: bytes
    thumbnail: bytes
    width: int
    height: int


def developed(content: bytes) -> Picture:
    """Make a photograph into one to keep; the same file makes the same picture.

    Args:
        content: the file as it came. Of one that moves, the first picture is taken.

    Raises:
        Refusal: ``photograph.missing`` for no file, ``photograph.large``, ``photograph.points`` when it has more points
            than can be unpacked, ``photograph.kind`` when it is no picture of a kind that is read, ``photograph.broken``
            when it ends early or is damaged.
    """
    if not content:
        raise _refused("photograph.missing")
    if len(content) > LARGEST_FILE:
        raise _refused("photograph.large", most=LARGEST_FILE // 1024 // 1024)
    with _in_turn, warnings.catch_warnings():
        warnings.simplefilter("ignore")  # odd tags of a camera are none of ours: they are left behind
        try:
            with Image.open(io.BytesIO(content), formats=KINDS) as opened:
                _not_too_many_points(opened)
                return _kept(_upright(opened))
        except Refusal:
            raise
        except UnidentifiedImageError:
            raise _refused("photograph.kind") from None
        except Image.DecompressionBombError:
            raise _too_many_points(max(MOST_POINTS.values())) from None
        except Exception:  # noqa: BLE001 - a damaged file can make its reader stumble anywhere
            raise _refused("photograph.broken") from None


def colour_of(picture: bytes) -> str:
    """The main colour of a picture, ``#rrggbb``: what its middle looks like, whatever lies about it.

    Of the middle half each way, the point that is nearest the median in OKLab: a colour that is in the cloth, which the
    mean of a print is not.

    Args:
        picture: the thumbnail of one that is kept.
    """
    with Image.open(io.BytesIO(picture), formats=("JPEG",)) as opened:
        wide, high = opened.size
        middle = (wide / 4, high / 4, wide * 3 / 4, high * 3 / 4)
        small = opened.resize((SAMPLES, SAMPLES), Image.Resampling.BOX, box=middle).tobytes()
    colours = [f"#{small[at : at + 3].hex()}" for at in range(0, len(small), 3)]
    seen = [oklab(colour) for colour in colours]
    main = Lab(*(median(axis) for axis in zip(*seen, strict=True)))

    def apart(colour: str) -> float:
        return sum((one - other) ** 2 for one, other in zip(oklab(colour), main, strict=True))

    return min(colours, key=apart)


def no_larger(picture: bytes, *, most: int) -> bytes:
    """A small picture of at most so many bytes: coarser first, then smaller; the smallest that there is where none fits.

    Args:
        picture: the thumbnail of one that is kept.
        most: bytes.
    """
    if len(picture) <= most:
        return picture
    with Image.open(io.BytesIO(picture), formats=("JPEG",)) as opened:
        for side in SMALL_SIDES:
            small = opened.copy()
            small.thumbnail((side, side), Image.Resampling.LANCZOS)
            for quality in QUALITIES:
                written = _jpeg(small, quality)
                if len(written) <= most:
                    return written
    return written


def _refused(code: str, **values: object) -> Refusal:
    return Refusal(Problem(code, "photograph", values))


def _not_too_many_points(opened: Image.Image) -> None:
    most = MOST_POINTS[opened.format or ""]
    if opened.width * opened.height > most:
        raise _too_many_points(most)


def _too_many_points(most: int) -> Refusal:
    return _refused("photograph.points", most=most // 1_000_000)


def _upright(opened: Image.Image) -> Image.Image:
    """Its first picture in plain sRGB, no larger than is kept, the right side up, with nothing else."""
    opened.draft("RGB", (LONG_SIDE * 2, LONG_SIDE * 2))
    orientation = _orientation(opened)
    opened.load()
    profile = opened.info.get("icc_profile")
    small = _in_colours(opened)
    # Made small before it is copied any further: a large one fills the memory.
    small.thumbnail((LONG_SIDE, LONG_SIDE), Image.Resampling.LANCZOS, reducing_gap=3.0)
    if small.mode == "RGBA":
        small = Image.alpha_composite(Image.new("RGBA", small.size, LINEN), small).convert("RGB")
    if profile:
        small = _in_srgb(small, profile)
    bare = Image.new("RGB", small.size)
    bare.paste(small)
    bare.getexif()[ORIENTATION] = orientation
    return ImageOps.exif_transpose(bare)


def _orientation(opened: Image.Image) -> int:
    """Which side is up, 1 to 8; as it lies where that cannot be read."""
    try:
        found = opened.getexif().get(ORIENTATION)
    except Exception:  # noqa: BLE001 - a picture that is whole is not refused for its tags
        return 1
    return found if isinstance(found, int) and 1 <= found <= 8 else 1


def _in_colours(picture: Image.Image) -> Image.Image:
    """In red, green and blue of eight bits, with its clearness if it has any."""
    if picture.mode in ("RGB", "RGBA") and "transparency" not in picture.info:
        return picture
    if picture.mode.startswith("I"):  # sixteen bits of grey
        return picture.convert("I").point(lambda value: value * (1 / 256)).convert("L").convert("RGB")
    clear = picture.mode in ("LA", "PA") or "transparency" in picture.info
    return picture.convert("RGBA" if clear else "RGB")


def _in_srgb(picture: Image.Image, profile: bytes) -> Image.Image:
    """Its colours as its profile means them; as they are where the profile is for another kind of picture."""
    try:
        found = ImageCms.ImageCmsProfile(io.BytesIO(profile))
        turned = ImageCms.profileToProfile(picture, found, ImageCms.createProfile("sRGB"))
    except (ImageCms.PyCMSError, OSError, ValueError):
        return picture
    return turned or picture


def _kept(upright: Image.Image) -> Picture:
    small = upright.copy()
    small.thumbnail((THUMBNAIL, THUMBNAIL), Image.Resampling.LANCZOS)
    return Picture(_jpeg(upright, 84), _jpeg(small, 80), upright.width, upright.height)


def _jpeg(picture: Image.Image, quality: int) -> bytes:
    bare = Image.new("RGB", picture.size)
    bare.paste(picture)
    written = io.BytesIO()
    bare.save(written, "JPEG", quality=quality, optimize=True, progressive=True)
    return written.getvalue()
