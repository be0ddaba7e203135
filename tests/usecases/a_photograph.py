"""Photographs as a phone sends them, for tests."""

import io

from PIL import Image


def a_photograph(size=(400, 300), mode="RGB", kind="JPEG", colour=None, **kept):
    """A file as a phone sends it: red on the left, blue on the right, or all of a colour."""
    image = Image.new("RGB", size, colour or (200, 30, 30))
    if colour is None:
        image.paste((30, 30, 200), (size[0] // 2, 0, size[0], size[1]))
    written = io.BytesIO()
    image.convert(mode).save(written, kind, **kept)
    return written.getvalue()


def cloth_on_a_table(cloth, table="#7a5230"):
    """A photograph of a piece that lies on a table."""
    image = Image.new("RGB", (400, 300), table)
    image.paste(Image.new("RGB", (300, 220), cloth), (50, 40))
    written = io.BytesIO()
    image.save(written, "JPEG", quality=92)
    return written.getvalue()


def opened(content):
    return Image.open(io.BytesIO(content))
