"""The translations are whole: every sentence in the code and the templates, with the same places for values."""

import io
import re
from pathlib import Path

import pytest
from babel.messages.extract import extract_from_dir
from babel.messages.frontend import parse_mapping_cfg
from babel.messages.pofile import read_po

from shop.words.catalogue import catalogue, languages, mark

ROOT = Path(__file__).resolve().parents[2]
KEYWORDS = {
    "say": None, "say_n": (1, 2), "mark": None, "_": None, "gettext": None, "ngettext": (1, 2),
}  # fmt: skip
PLACE = re.compile(r"%\((\w+)\)s|%%|%")


@pytest.fixture(scope="module")
def gathered():
    """Every sentence to translate: (msgid, or singular and plural), with where it stands."""
    methods, options = parse_mapping_cfg(io.StringIO((ROOT / "babel.cfg").read_text("utf-8")), "babel.cfg")
    found = extract_from_dir(
        ROOT, methods, options, KEYWORDS, directory_filter=lambda path: ".venv" not in str(path)
    )
    return {message: f"{file}:{line}" for file, line, message, _, _ in found if message}


@pytest.fixture(scope="module")
def swedish():
    path = ROOT / "shop" / "translations" / "sv" / "LC_MESSAGES" / "thriftloom.po"
    with path.open("rb") as file:
        return {message.id: message for message in read_po(file, locale="sv") if message.id}


def test_swedish_is_there():
    assert languages() == ("en", "sv")


def test_every_sentence_is_in_the_catalogue_and_translated(gathered, swedish):
    missing = [f"{where}: {message}" for message, where in gathered.items() if not said(swedish.get(message))]
    assert not missing, f"{len(missing)} not translated: " + "\n".join(missing)


def test_no_translation_is_of_a_sentence_that_is_gone(gathered, swedish):
    assert not set(swedish) - set(gathered)


def test_a_translation_has_the_same_places_for_values(swedish):
    for key, message in swedish.items():
        originals = key if isinstance(key, tuple) else (key,)
        strings = message.string if isinstance(message.string, tuple) else (message.string,)
        for place, string in enumerate(filter(None, strings)):
            wanted = places(originals[min(place, len(originals) - 1)])
            assert places(string) == wanted, f"{key!r}: {string!r}"


def places(text):
    """The values a sentence names, and its per cent signs; an odd one would break it."""
    found = [match[0] for match in PLACE.finditer(text)]
    assert "%" not in found, f"a per cent sign alone in {text!r}"
    return sorted(set(found))


def said(message):
    if message is None or message.fuzzy:
        return False
    strings = message.string if isinstance(message.string, tuple) else (message.string,)
    return all(strings)


def test_a_plural_takes_the_form_of_its_number():
    english = catalogue("en")
    assert english.many("one thing", "%(n)s things", 1) == "one thing"
    assert english.many("one thing", "%(n)s things", 0) == "%(n)s things"
    assert catalogue("sv").form(1) == 0
    assert catalogue("sv").form(2) == 1


def test_a_language_without_a_file_speaks_english():
    assert catalogue("tlh").language == "en"
    assert catalogue("tlh").one(mark("Width")) == "Width"
