"""Photographs of pieces: any phone's, upright, small, and with nothing in them but the picture."""

import io
import random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image, PngImagePlugin

from shop.core.errors import NotFound, Refusal
from shop.usecases import picture
from shop.usecases.developing import LARGEST_FILE, LONG_SIDE, THUMBNAIL, developed
from shop.usecases.given import fresh_token
from tests.builders import a_piece_in_hand, codes


def a_photograph(size=(400, 300), mode="RGB", kind="JPEG", colour=None, **kept):
    """A file as a phone sends it: red on the left, blue on the right."""
    image = Image.new("RGB", size, (200, 30, 30))
    image.paste((30, 30, 200), (size[0] // 2, 0, size[0], size[1]))
    written = io.BytesIO()
    image.convert(mode).save(written, kind, **kept)
    return written.getvalue()


def opened(content):
    return Image.open(io.BytesIO(content))


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


def test_nothing_but_the_picture_is_kept():
    exif = with_place()
    content = a_photograph(exif=exif, comment=b"at home", icc_profile=None, dpi=(300, 300))
    assert b"A phone" in content
    for kept in (developed(content).image, developed(content).thumbnail):
        assert dict(opened(kept).getexif()) == {}
        assert {"exif", "comment", "icc_profile", "xmp", "photoshop"} & set(opened(kept).info) == set()
        assert b"A phone" not in kept
        assert b"at home" not in kept


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
    assert opened(developed(written.getvalue()).image).getpixel((25, 25)) == pytest.approx((245, 239, 226), abs=3)


def test_a_small_picture_is_not_made_larger():
    found = developed(a_photograph((40, 30)))
    assert (found.width, found.height) == (40, 30)


@pytest.mark.parametrize(
    ("content", "code"),
    [
        (b"", "photograph.missing"),
        (b"GIF89a" + b"\0" * 40, "photograph.kind"),
        (b"%PDF-1.7 no picture", "photograph.kind"),
        (a_photograph((900, 900), kind="PNG")[:1500], "photograph.broken"),
        (b"\xff" * (LARGEST_FILE + 1), "photograph.large"),
    ],
    ids=["nothing", "another kind", "a paper", "cut off", "too large"],
)
def test_what_is_no_photograph_is_told(content, code):
    with pytest.raises(Refusal) as refused:
        developed(content)
    assert codes(refused) == {("photograph", code)}


def test_a_picture_of_too_many_points_is_not_unpacked():
    written = io.BytesIO()
    Image.new("1", (20_000, 20_000)).save(written, "PNG")
    with pytest.raises(Refusal):
        developed(written.getvalue())


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


def put_up(store, now, number, content=None, token=None):
    picture.put_up(
        store, number=number, content=content or a_photograph(), saving=token or fresh_token(), now=now
    )


def test_a_piece_has_one_photograph_at_most(store, now):
    number = a_piece_in_hand(store, now).number
    assert picture.has_one(store, number=number) == ""
    put_up(store, now, number)
    first = picture.has_one(store, number=number)
    put_up(store, now, number, a_photograph((200, 200)))
    assert picture.has_one(store, number=number) not in ("", first)
    assert opened(picture.shown(store, number=number, small=False).content).size == (200, 200)
    picture.take_away(store, number=number, saving=fresh_token(), now=now)
    with pytest.raises(NotFound):
        picture.shown(store, number=number, small=True)


def test_a_refused_photograph_leaves_the_old_one(store, now):
    number = a_piece_in_hand(store, now).number
    put_up(store, now, number)
    before = picture.shown(store, number=number, small=False)
    with pytest.raises(Refusal):
        put_up(store, now, number, b"no picture")
    assert picture.shown(store, number=number, small=False) == before


def test_which_pieces_have_one_is_asked_once_and_loads_no_picture(store, now, count_queries):
    numbers = [a_piece_in_hand(store, now) for _ in range(4)]
    put_up(store, now, numbers[1].number)
    with count_queries(store) as said, store.reading() as session:
        found = picture.photographed(session, [card.id for card in numbers])
    assert list(found) == [numbers[1].id]
    asked = [statement for statement, _ in said if "photograph" in statement]
    assert len(asked) == 1
    assert "image" not in asked[0]
