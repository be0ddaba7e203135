"""A photograph made into one to keep: any phone's, upright, small, and with nothing in it but the picture."""

import io
import random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image, ImageCms, PngImagePlugin

from shop.core.colour import difference
from shop.core.errors import Refusal
from shop.usecases.developing import LARGEST_FILE, LONG_SIDE, THUMBNAIL, colour_of, developed
from tests.builders import codes
from tests.usecases.a_photograph import a_photograph, cloth_on_a_table, opened


def with_place():
    """What a phone writes beside a picture: where, with what, and which side is up."""
    exif = Image.Exif()
    exif[0x010F] = "A phone"
    exif[0x0112] = 6  # its right side is up
    exif.get_ifd(0x8825)[1] = "N"
    exif.get_ifd(0x8825)[2] = (59.0, 51.0, 30.0)
    return exif


def test_a_photograph_is_made_small_and_upright():
    found = developed(a_photograph((4000, 3000), exif=with_place()))
    large, small = opened(found.image), opened(found.thumbnail)
    assert large.size == (found.width, found.height) == (LONG_SIDE * 3 // 4, LONG_SIDE)
    assert max(small.size) == THUMBNAIL
    assert large.getpixel((600, 100))[0] > 150  # what lay left lies above
    assert large.getpixel((600, 1500))[2] > 150


@pytest.mark.parametrize(
    ("side", "red_at"),
    [
        (1, "left"),
        (2, "right"),
        (3, "right"),
        (4, "left"),
        (5, "top"),
        (6, "top"),
        (7, "bottom"),
        (8, "bottom"),
    ],
)
@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
def test_whichever_side_is_up_it_comes_out_upright(side, red_at, kind):
    """The eight orientations of the standard EXIF 2.3, table of tag 274; what lies to the left as stored is red."""
    exif = Image.Exif()
    exif[0x0112] = side
    found = opened(developed(a_photograph(kind=kind, exif=exif)).image)
    wide, high = found.size
    assert (wide > high) is (side < 5)
    at = {
        "left": (wide // 8, high // 2),
        "right": (wide * 7 // 8, high // 2),
        "top": (wide // 2, high // 8),
        "bottom": (wide // 2, high * 7 // 8),
    }[red_at]
    assert found.getpixel(at)[0] > 150


@pytest.mark.parametrize("side", [0, 9, 60000])
def test_a_side_that_there_is_not_leaves_it_as_it_lies(side):
    exif = Image.Exif()
    exif[0x0112] = side
    assert opened(developed(a_photograph(exif=exif)).image).size == (400, 300)


def test_a_whole_picture_is_not_refused_for_broken_tags():
    broken = b"Exif\0\0MM\0*\0\0\0\x08\xff\xff" + b"\xaa" * 50
    assert developed(a_photograph(exif=broken)).width == 400


PACKET = b"<x:xmpmeta xmlns:x='adobe:ns:meta/'>a garden in the north</x:xmpmeta>"
PROFILE = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
def test_nothing_but_the_picture_is_kept(kind):
    told = {"JPEG": {"comment": b"at home", "dpi": (300, 300), "xmp": PACKET}, "WEBP": {"xmp": PACKET}}.get(
        kind, {}
    )
    content = a_photograph(kind=kind, exif=with_place(), icc_profile=PROFILE, **told)
    assert b"A phone" in content
    assert {"exif", "icc_profile", *({"xmp"} & told.keys())} <= opened(content).info.keys()
    found = developed(content)
    for kept in (found.image, found.thumbnail):
        assert dict(opened(kept).getexif()) == {}
        assert opened(kept).info.keys() <= {
            "jfif",
            "jfif_version",
            "jfif_unit",
            "jfif_density",
            "progressive",
            "progression",
        }
        assert {part for part, _ in opened(kept).applist} == {"APP0"}  # the mark of a JPEG alone
        for told_of in (b"A phone", b"at home", b"garden", b"Exif", b"ICC_PROFILE"):
            assert told_of not in kept


def test_the_same_photograph_makes_the_same_picture():
    content = a_photograph((2000, 1500), kind="PNG")
    assert developed(content) == developed(content)


@pytest.mark.parametrize("kind", ["MPO", "PNG", "WEBP"])
def test_of_one_that_moves_the_first_picture_is_taken(kind):
    first, *rest = (
        Image.new("RGB", (60, 40), colour) for colour in ((200, 30, 30), (30, 200, 30), (30, 30, 200))
    )
    written = io.BytesIO()
    first.save(written, kind, save_all=True, append_images=rest)
    red, green, blue = opened(developed(written.getvalue()).image).getpixel((30, 20))
    assert red > 150 > max(green, blue)


def test_colours_of_a_wider_kind_are_brought_home():
    """A profile that calls the red channel green, as no camera does: what is shown follows the profile."""
    turned = PROFILE.replace(b"rXYZ", b"tXYZ").replace(b"gXYZ", b"rXYZ").replace(b"tXYZ", b"gXYZ")
    red, green, _ = opened(developed(a_photograph(icc_profile=turned)).image).getpixel((50, 150))
    assert green > red


@pytest.mark.parametrize("mode", ["L", "CMYK", "RGB"])
def test_a_profile_for_another_kind_of_picture_is_left_alone(mode):
    of_another = b"no profile at all" * 20 if mode == "RGB" else PROFILE
    assert developed(a_photograph(mode=mode, icc_profile=of_another)).width == 400


def test_text_in_a_png_is_left_behind():
    told = PngImagePlugin.PngInfo()
    told.add_text("Location", "59.85 N, 17.64 E")
    assert b"17.64" not in developed(a_photograph(kind="PNG", pnginfo=told)).image


@pytest.mark.parametrize(
    ("mode", "kind"),
    [
        ("RGB", "WEBP"),
        ("RGBA", "PNG"),
        ("LA", "PNG"),
        ("P", "PNG"),
        ("1", "PNG"),
        ("L", "JPEG"),
        ("CMYK", "JPEG"),
        ("I;16", "PNG"),
    ],
)
def test_whatever_a_picture_is_made_of_it_becomes_a_jpeg(mode, kind):
    found = opened(developed(a_photograph(mode=mode, kind=kind)).image)
    assert (found.format, found.mode, found.size) == ("JPEG", "RGB", (400, 300))


def test_what_is_clear_lies_on_linen():
    written = io.BytesIO()
    Image.new("RGBA", (50, 50), (0, 0, 0, 0)).save(written, "PNG")
    assert opened(developed(written.getvalue()).image).getpixel((25, 25)) == pytest.approx(
        (245, 239, 226), abs=3
    )


def test_a_small_picture_is_not_made_larger():
    found = developed(a_photograph((40, 30)))
    assert (found.width, found.height) == (40, 30)


@pytest.mark.parametrize(
    ("content", "code"),
    [
        (b"", "photograph.missing"),
        (b"GIF89a" + b"\0" * 40, "photograph.kind"),
        (b"%PDF-1.7 no picture", "photograph.kind"),
        (bytes(4000), "photograph.kind"),
        (a_photograph((900, 900), kind="PNG")[:1500], "photograph.broken"),
        (a_photograph((900, 900))[:5000], "photograph.broken"),
        (a_photograph((900, 900), kind="WEBP")[:300], "photograph.broken"),
        (a_photograph()[:10], "photograph.broken"),
        (b"\xff" * (LARGEST_FILE + 1), "photograph.large"),
    ],
    ids=[
        "nothing",
        "another kind",
        "a paper",
        "noughts",
        "cut off",
        "a JPEG cut off",
        "a WebP cut off",
        "a head",
        "too large",
    ],
)
def test_what_is_no_photograph_is_told(content, code):
    with pytest.raises(Refusal) as refused:
        developed(content)
    assert codes(refused) == {("photograph", code)}


@pytest.mark.parametrize(("side", "most"), [(8_000, 50), (20_000, 120)])
def test_a_picture_of_too_many_points_is_told_and_not_unpacked(side, most):
    written = io.BytesIO()
    Image.new("1", (side, side)).save(written, "PNG")
    with pytest.raises(Refusal) as refused:
        developed(written.getvalue())
    assert codes(refused) == {("photograph", "photograph.points")}
    assert refused.value.problems[0].values == {"most": most}


@pytest.mark.parametrize(
    ("mode", "clear"), [("L", 76), ("RGB", (200, 30, 30)), ("P", 0), ("1", 0), ("I;16", 76)]
)
def test_a_colour_that_stands_for_clear_is_read(mode, clear):
    assert developed(a_photograph(mode=mode, kind="PNG", transparency=clear)).width == 400


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 2**32), st.integers(1, 60))
def test_a_damaged_photograph_is_shown_or_told(seed, many):
    """Whatever the air did to the file: a picture comes out or a sentence does, never a fault."""
    chance = random.Random(seed)  # noqa: S311 - the same damage for the same seed
    content = bytearray(a_photograph(kind=chance.choice(["JPEG", "PNG", "WEBP"])))
    for _ in range(many):
        content[chance.randrange(len(content))] = chance.randrange(256)
    try:
        found = opened(developed(bytes(content)).image).format
    except Refusal as refused:
        found = {problem.where for problem in refused.problems}
    assert found in ("JPEG", {"photograph"})


@pytest.mark.parametrize("cloth", ["#3a5fa8", "#f4efe4", "#1e1e1e", "#b3262a", "#9fd0d0"])
def test_the_colour_is_that_of_the_cloth_and_not_of_the_table(cloth):
    assert difference(colour_of(developed(cloth_on_a_table(cloth)).thumbnail), cloth) < 2


def test_the_colour_of_a_stripe_is_one_of_its_own():
    """Red and blue side by side make no purple."""
    found = colour_of(developed(a_photograph()).thumbnail)
    assert min(difference(found, "#c81e1e"), difference(found, "#1e1ec8")) < 4
