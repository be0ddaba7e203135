"""Text made for comparing: case, accents and width folded away by us, alike on every database."""

import re
import unicodedata
from typing import Final

_SPLIT: Final = re.compile(r"[\W_]+")
LONGEST_WORD: Final = 40
MOST_WORDS: Final = 40


def folded(text: str) -> str:
    """Folded text: ``"Sjöberg  ÅSA"`` is ``"sjoberg asa"``."""
    apart = unicodedata.normalize("NFKD", text.casefold())
    bare = "".join(letter for letter in apart if not unicodedata.combining(letter))
    return " ".join(unicodedata.normalize("NFKC", bare).casefold().split())


def words_of(text: str) -> tuple[str, ...]:
    """The different words of a text, folded, in order; at most forty of at most forty letters."""
    words = dict.fromkeys(word[:LONGEST_WORD] for word in _SPLIT.split(folded(text)) if word)
    return tuple(words)[:MOST_WORDS]


def name_key(name: str) -> str:
    """A name made for comparing: case and spaces folded away, accents kept; nothing that no database takes."""
    straight = unicodedata.normalize("NFKC", name).casefold().encode("utf-8", "replace").decode()
    return " ".join(straight.replace("\0", "?").split())
