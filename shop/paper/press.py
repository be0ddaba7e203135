"""The press: finished texts and a sheet's source in, a tagged PDF out.

All that people have typed reaches the sheet as JSON, so that nothing of it is ever read as markup or code.
A PDF is first made to PDF/UA-1, the standard for accessible documents, which refuses a sign that the
letters lack. Then those signs, and only those, are set as an open box to be filled in by hand, and it is
made again; ``signs_lacking`` tells beforehand which they are.
"""

from __future__ import annotations

import json
import re
import unicodedata
from datetime import UTC, date, datetime, time
from functools import cache, lru_cache
from pathlib import Path
from threading import Lock
from typing import Any, Final

import typst

from shop import places

BOX: Final = "□"
"""What stands on paper for a sign that its letters lack."""
LONGEST: Final = 10_000
"""Texts are cut after so many characters: a paper is no book."""
_PROBE: Final = (
    b'#import "look.typ": letters\n'
    b'#set document(title: "1")\n'
    b"#set text(font: letters)\n"
    b"#json(bytes(sys.inputs.data))"
)
_UNSEEN: Final = re.compile("[\u202a-\u202e\u2066-\u2069\ufeff]")
_CLINGING: Final = re.compile(f"(?<={BOX})[\u200c\u200d\ufe00-\ufe0f]+")
"""Signs that join or vary the one before them, which is now a box."""
_ONE_AT_A_TIME: Final = Lock()

Texts = dict[str, Any]
"""What a sheet is filled with: texts, numbers, and lists and dictionaries of them."""


@cache
def _compiler() -> typst.Compiler:
    """The one compiler, with its own letters and none of the machine's, so that every machine prints alike."""
    fonts = typst.Fonts(include_system_fonts=False, include_embedded_fonts=True)
    return typst.Compiler(root=_sheets(), font_paths=fonts, ignore_system_fonts=True)


def _sheets() -> Path:
    return places.templates() / "papers"


@cache
def _source(sheet: str) -> bytes:
    return (_sheets() / f"{sheet}.typ").read_bytes()


def printed(sheet: str, texts: Texts, *, day: date, note: str) -> bytes:
    """A PDF of a sheet.

    Args:
        sheet: the name of its source among the papers, such as ``"quote"``.
        texts: what it is filled with.
        day: the day on the paper; the file says it was made then, so that the same paper is the same file.
        note: what to say at the foot where signs had to be set as boxes.
    """
    made = datetime.combine(day, time(12), UTC)
    cleaned = _each_text(texts, clean)
    try:
        return _set(sheet, {**cleaned, "note": ""}, made, strict=True)
    except typst.TypstError:
        boxed = {**_each_text(cleaned, boxed_text), "note": note}
    try:
        return _set(sheet, boxed, made, strict=True)
    except typst.TypstError:  # a mark that no letter of ours can carry: tagged all the same, unverified
        return _set(sheet, boxed, made, strict=False)


def _set(sheet: str, texts: Texts, made: datetime, *, strict: bool) -> bytes:
    return _compile(_source(sheet), texts, made, strict=strict)


def _compile(source: bytes, texts: object, made: datetime, *, strict: bool) -> bytes:
    with _ONE_AT_A_TIME:  # the compiler refuses to be used by two threads at once
        pdf = _compiler().compile(
            source,
            sys_inputs={"data": json.dumps(texts)},
            pdf_standards=["ua-1"] if strict else [],
            timestamp=made,
        )
    if not isinstance(pdf, bytes):
        raise TypeError("The press was asked for one PDF and made something else.")
    return pdf


def _each_text(value: Any, change: Any) -> Any:
    if isinstance(value, str):
        return change(value)
    if isinstance(value, dict):
        return {key: _each_text(inner, change) for key, inner in value.items()}
    if isinstance(value, list | tuple):
        return [_each_text(inner, change) for inner in value]
    return value


@lru_cache(maxsize=4096)
def clean(text: str) -> str:
    """A text without what cannot be printed: control signs, and signs that turn the reading direction."""
    cut = text if len(text) <= LONGEST else f"{text[: LONGEST - 1]}…"
    plain = _UNSEEN.sub("", unicodedata.normalize("NFC", cut.replace("\r\n", "\n").replace("\r", "\n")))
    return "".join(map(_printable, plain))


def _printable(sign: str) -> str:
    if sign.isascii():
        return sign if sign == "\n" or sign.isprintable() else " "
    match unicodedata.category(sign):
        case "Cc":
            return " "
        case "Cs" | "Co" | "Cn":  # half a sign, somebody's own sign, no sign at all
            return BOX
    return sign


def boxed_text(text: str) -> str:
    """A text whose signs are all among our letters: the others in a plainer shape, or else as a box."""
    boxed = "".join(sign if sign.isascii() or _in_letters(sign) else _nearest(sign) for sign in text)
    return _CLINGING.sub("", boxed)


def _nearest(sign: str) -> str:
    """Full-width, styled and joined letters have plain ones of the same meaning; others are a box."""
    if unicodedata.category(sign) in ("Mn", "Me", "Cf"):
        return ""
    plainer = unicodedata.normalize("NFKC", sign)
    if plainer != sign and all(other.isascii() or _in_letters(other) for other in plainer):
        return plainer
    return BOX


@lru_cache(maxsize=16384)
def _in_letters(sign: str) -> bool:
    """Whether our letters have this sign; the press itself is asked, once for each."""
    try:
        _compile(_PROBE, sign, datetime(2000, 1, 1, tzinfo=UTC), strict=True)
    except typst.TypstError:
        return False
    return True


def signs_lacking(*texts: str) -> tuple[str, ...]:
    """Which signs of these texts would be set as a box, in order; none as a rule. For a word beforehand."""
    signs = dict.fromkeys("".join(clean(text) for text in texts))
    return tuple(s for s in signs if not s.isascii() and not _in_letters(s) and BOX in _nearest(s))
