"""Tags for rugs: what it is to bring, its size, what it is woven of, how to care for it, and a code that opens its page.

Many stand on a sheet of plain paper or card, edge to edge, to be cut along marks; the same three sizes on every paper.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Final

from shop.paper.codes import Code, code_of, code_texts
from shop.paper.drawing import colour
from shop.paper.label_sheets import PAPERS
from shop.paper.letterhead import ShopHead, sheet_texts
from shop.paper.press import Texts, printed
from shop.words import Words, mark

LONGEST_ADDRESS: Final = 500
MOST_STRIPES: Final = 60
MILLIMETRES_IN_INCH: Final = 25.4
LEAST_LONG, MOST_LONG = 0.1, 20.0
"""How short and how long a rug is drawn at most, so that some of it can be seen."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TagSize:
    """A size of tag, in millimetres, and how many of it stand on a sheet of any paper.

    Attributes:
        key: by which it is chosen; ``name`` in words.
        letters: how high its small letters are, in points; all others go by them.
        code: how wide its code is as a rule; ``largest_code`` where it would else be too fine.
        in_full: it has room for the shop's name and for every sentence.
    """

    key: str
    name: str
    width: float
    height: float
    across: int
    down: int
    letters: float
    code: float
    largest_code: float
    in_full: bool

    @property
    def count(self) -> int:
        """How many are on a sheet."""
        return self.across * self.down


_ALL: Final = (
    TagSize(
        key="small", name=mark("Small"), width=60, height=37, across=3, down=7, letters=5.4, code=17, largest_code=23, in_full=False
    ),
    TagSize(
        key="middle", name=mark("Middle"), width=90, height=52, across=2, down=5, letters=7.2, code=23, largest_code=34, in_full=True
    ),
    TagSize(
        key="large", name=mark("Large"), width=90, height=86, across=2, down=3, letters=9, code=29, largest_code=40, in_full=True
    ),
)
SIZES: Final[dict[str, TagSize]] = {size.key: size for size in _ALL}
"""Every size of tag, by its key."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RugTag:
    """A tag, in finished text.

    Attributes:
        number: of the rug; ``name`` what it is called.
        price: what it is to bring; empty to be written in by hand.
        size: of the rug.
        content: its fibre content; ``care`` how to care for it. Empty where nobody knows.
        stripes: (``"#rrggbb"``, share of the length) from one end to the other; ``long`` how many times its width the rug is long.
        address: what its code opens.
        tax: what comes on top of the price; empty where nothing does.
    """

    number: int
    name: str
    price: str
    size: str
    content: str
    care: str
    stripes: tuple[tuple[str, float], ...]
    long: float
    address: str
    tax: str = ""


def code_fits(size: TagSize, address: str) -> bool:
    """Whether the code of an address can be printed on these tags and still be read."""
    return len(address) <= LONGEST_ADDRESS and code_of(address, at_once=True).smallest <= size.largest_code


def sheets_needed(size: TagSize, tags: int) -> int:
    """How many sheets so many tags take."""
    return -(-tags // size.count)


def size_name(size: TagSize, words: Words) -> str:
    """What a size is called: ``Small, 60 × 37 mm, 21 on a sheet``, or in inches where the shop measures so."""
    if words.units == "imperial":
        return words.say(
            "%(name)s, %(width)s × %(height)s in, %(n)s on a sheet",
            name=words.say(size.name),
            width=words.number(size.width / MILLIMETRES_IN_INCH, 1, trimmed=True),
            height=words.number(size.height / MILLIMETRES_IN_INCH, 1, trimmed=True),
            n=words.number(size.count),
        )
    return words.say(
        "%(name)s, %(width)s × %(height)s mm, %(n)s on a sheet",
        name=words.say(size.name),
        width=words.number(size.width),
        height=words.number(size.height),
        n=words.number(size.count),
    )


def tags_pdf(tags: Sequence[RugTag], size: TagSize, *, shop: ShopHead, day: date, words: Words) -> bytes:
    """The tags as a PDF, to be printed at its true size and cut.

    Args:
        tags: in the order in which they are printed.
        size: of each.
        shop: whose they are.
        day: the day on which they are made.
        words: the shop's.
    """
    return printed("tags", tag_texts(tags, size, shop=shop, words=words), day=day, note="")


def tag_texts(tags: Sequence[RugTag], size: TagSize, *, shop: ShopHead, words: Words) -> Texts:
    """Everything that stands on the tags, and where, in millimetres."""
    texts = sheet_texts(shop, words, title=words.say("Tags of %(shop)s", shop=shop.name), foot="")
    width, height = (float(side) for side in PAPERS[texts["page"]])
    left, top = (width - size.across * size.width) / 2, (height - size.down * size.height) / 2
    corners = [
        (left + column * size.width, top + row * size.height) for row in range(size.down) for column in range(size.across)
    ]
    return {
        **texts,
        "paper": {"width": width, "height": height},
        "tag": {"width": size.width, "height": size.height},
        "corners": corners,
        "letters": size.letters,
        "in_full": size.in_full,
        "mat": words.say("On a hard floor lay it on a non-slip mat."),
        "tags": [_tag(tag, size, words) for tag in tags],
    }


def _tag(tag: RugTag, size: TagSize, words: Words) -> Texts:
    code = code_of(tag.address, at_once=True)
    told = words.say("Code that opens %(address)s", address=tag.address)
    return {
        "number": words.say("No. %(number)s", number=str(tag.number)),
        "name": tag.name,
        "price": tag.price,
        "size": tag.size,
        "content": tag.content,
        "care": tag.care,
        "stripes": stripe_texts(tag.stripes),
        "long": min(MOST_LONG, max(LEAST_LONG, tag.long)),
        "tax": tag.tax,
        "code": {**code_texts(code, told), "side": _side(code, size)},
    }


def stripe_texts(stripes: Sequence[tuple[str, float]]) -> list[Texts]:
    """Stripes as a sheet draws them: shares that add up to one; a rug without any is undyed."""
    some = [(name, share) for name, share in stripes[:MOST_STRIPES] if share > 0] or [("", 1.0)]
    whole = sum(share for _, share in some)
    return [{"colour": colour(name), "share": share / whole} for name, share in some]


def _side(code: Code, size: TagSize) -> float:
    """How wide to print a code, border included, in millimetres."""
    return min(size.largest_code, max(code.smallest, min(code.largest, size.code)))
