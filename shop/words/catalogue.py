"""The translations, read from their ``.po`` files and held in memory.

English is the language of the sentences in the code and needs no file. Nothing is compiled and nothing
is installed: a catalogue is one text file in ``shop/translations/<language>/LC_MESSAGES/``.

To gather the sentences again after a change, from the root of the checkout::

    pybabel extract -F babel.cfg -k say -k say_n:1,2 -k mark --no-location -o messages.pot .
    pybabel update -D thriftloom -i messages.pot -d shop/translations -N --ignore-obsolete --ignore-pot-creation-date
    rm messages.pot

A test names every sentence that is not translated yet.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType
from typing import Final

from babel.messages.pofile import read_po

from shop.places import translations

DOMAIN: Final = "thriftloom"
SOURCE: Final = "en"


def mark(msgid: str) -> str:
    """The same text, marked to be gathered for translation; it is said later."""
    return msgid


@dataclass(frozen=True, slots=True)
class Catalogue:
    """The sentences of one language.

    Attributes:
        language: its code, such as ``"sv"``.
        sentences: each English sentence with its translation; for those that change with a number, all
            forms in the order of the language's plural rule.
        form: the plural rule: which form goes with a number.
    """

    language: str
    sentences: Mapping[str, tuple[str, ...]]
    form: Callable[[float], int]

    def one(self, msgid: str) -> str:
        """The sentence in this language; in English where it has none."""
        found = self.sentences.get(msgid)
        return found[0] if found else msgid

    def many(self, singular: str, plural: str, number: float) -> str:
        """The sentence in the form that goes with the number."""
        found = self.sentences.get(singular)
        if found:
            return found[min(self.form(number), len(found) - 1)]
        return singular if number == 1 else plural


@cache
def languages() -> tuple[str, ...]:
    """Every language that the shop can be run in, English first."""
    found = sorted(path.parts[-3] for path in translations().glob(f"*/LC_MESSAGES/{DOMAIN}.po"))
    return (SOURCE, *found)


@cache
def catalogue(language: str) -> Catalogue:
    """The catalogue of a language; one without a file speaks English."""
    path = translations() / language / "LC_MESSAGES" / f"{DOMAIN}.po"
    if language == SOURCE or not path.is_file():
        return Catalogue(SOURCE, MappingProxyType({}), lambda number: int(number != 1))
    with path.open("rb") as file:
        messages = read_po(file, locale=language, domain=DOMAIN)
    sentences: dict[str, tuple[str, ...]] = {}
    for message in messages:
        said = message.string if isinstance(message.string, list | tuple) else (message.string,)
        if message.id and not message.fuzzy and all(said):
            key = message.id[0] if isinstance(message.id, list | tuple) else message.id
            sentences[key] = tuple(str(text) for text in said)
    return Catalogue(language, MappingProxyType(sentences), _plural_rule(messages.plural_expr))


def _plural_rule(expression: str) -> Callable[[float], int]:
    from gettext import c2py  # noqa: PLC0415 - needed only where a catalogue is read

    rule: Callable[[int], int] = c2py(expression)
    return lambda number: rule(int(number)) if number == int(number) else rule(2)
