"""A photograph as it comes from a phone, made into one to keep: upright, of a moderate size, and nothing but a picture.

Where it was taken, when, and with what is not carried over: the picture is drawn anew, and only its colours are kept.
"""

from __future__ import annotations

import io
import warnings
from dataclasses import dataclass
from typing import Final

from PIL import Image, ImageCms, ImageOps, UnidentifiedImageError

from shop.core.errors import Problem, Refusal

LARGEST_FILE: Final = 25 * 1024 * 1024
LARGEST_AREA: Final = 120_000_000
"""Pixels that a picture may have: more than any phone takes, and what a small machine can still hold."""
LONG_SIDE: Final = 1600
THUMBNAIL: Final = 360
KINDS: Final = ("JPEG", "PNG", "WEBP")
"""What is read; a phone's other kinds are sent as JPEG when its browser is asked for a picture."""


@dataclass(frozen=True, slots=True)
class Picture:
    """A picture to keep: a JPEG and a small one."""

    image: bytes
    thumbnail: bytes
    width: int
    height: int


def developed(content: bytes) -> Picture:
    """Make a photograph into one to keep.

    Args:
        content: the file as it came.

    Raises:
        Refusal: ``photograph.missing`` for no file, ``photograph.large``, ``photograph.kind`` when it is no picture of a kind
            that is read, ``photograph.broken`` when it ends early or is damaged.
    """
    if not content:
        raise _refused("photograph.missing")
    if len(content) > LARGEST_FILE:
        raise _refused("photograph.large", most=LARGEST_FILE // 1024 // 1024)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # odd tags of a camera are none of ours: they are left behind
        try:
            with Image.open(io.BytesIO(content), formats=KINDS) as opened:
                _not_too_large(opened)
                opened.draft("RGB", (LONG_SIDE * 2, LONG_SIDE * 2))
                upright = ImageOps.exif_transpose(_flat(opened))
        except Refusal:
            raise
        except (UnidentifiedImageError, Image.DecompressionBombError):
            raise _refused("photograph.kind") from None
        except Exception:  # noqa: BLE001 - a damaged file can make its reader stumble anywhere
            raise _refused("photograph.broken") from None
    return _kept(upright)


def _not_too_large(opened: Image.Image) -> None:
    if opened.width * opened.height > LARGEST_AREA:
        raise _refused("photograph.large", most=LARGEST_FILE // 1024 // 1024)


def _refused(code: str, **values: object) -> Refusal:
    return Refusal(Problem(code, "photograph", values))


def _flat(opened: Image.Image) -> Image.Image:
    """Its first picture in plain sRGB, on linen where it is transparent."""
    orientation = opened.getexif().get(0x0112)
    opened.load()
    picture = opened
    if picture.mode in ("RGBA", "LA", "PA") or "transparency" in picture.info:
        rgba = picture.convert("RGBA")
        ground = Image.new("RGBA", rgba.size, "#f5efe2")
        picture = Image.alpha_composite(ground, rgba)
    elif picture.mode.startswith("I"):
        picture = picture.convert("I").point(lambda value: value * (1 / 256)).convert("L")
    profile = opened.info.get("icc_profile")
    flat = picture.convert("RGB")
    if profile and opened.mode == "RGB":
        flat = _in_srgb(flat, profile)
    bare = Image.new("RGB", flat.size)
    bare.paste(flat)
    if orientation:
        bare.getexif()[0x0112] = orientation
    return bare


def _in_srgb(flat: Image.Image, profile: bytes) -> Image.Image:
    try:
        found = ImageCms.ImageCmsProfile(io.BytesIO(profile))
        turned = ImageCms.profileToProfile(flat, found, ImageCms.createProfile("sRGB"))
    except (ImageCms.PyCMSError, OSError, ValueError):
        return flat
    return turned or flat


def _kept(upright: Image.Image) -> Picture:
    large = upright.copy()
    large.thumbnail((LONG_SIDE, LONG_SIDE), Image.Resampling.LANCZOS)
    small = upright.copy()
    small.thumbnail((THUMBNAIL, THUMBNAIL), Image.Resampling.LANCZOS)
    return Picture(_jpeg(large, 84), _jpeg(small, 80), large.width, large.height)


def _jpeg(picture: Image.Image, quality: int) -> bytes:
    bare = Image.new("RGB", picture.size)
    bare.paste(picture)
    written = io.BytesIO()
    bare.save(written, "JPEG", quality=quality, optimize=True, progressive=True)
    return written.getvalue()
