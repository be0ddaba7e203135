"""The columns of a file of cloth: in each language every heading and word of the pages is understood, and means one thing."""

from datetime import date
from types import SimpleNamespace

import pytest

from shop.core.errors import Refusal
from shop.usecases.file_cells import WORDS, CellReader
from shop.usecases.file_rows import COLUMNS, RowReader
from shop.web.cloth_shown import CLOTHS, COLOUR_WORDS, CONDITIONS, FIBRES, SPREADS
from shop.web.file_columns import HEADINGS, MEANINGS, YES_OR_NO, examples, vocabulary
from shop.words import Words

CHOICES = {
    "kind": CLOTHS,
    "fibre": FIBRES,
    "condition": CONDITIONS,
    "colour": COLOUR_WORDS,
    "spread by": SPREADS,
    "yes or no": YES_OR_NO,
}
TODAY = date(2026, 11, 26)
every_language = pytest.mark.parametrize("locale", ["en_US", "sv_SE"])


def a_shop(locale):
    return SimpleNamespace(locale=locale, currency="SEK", units="metric")


def understood(locale, about, word):
    return CellReader(a_shop(locale), TODAY, vocabulary(Words(locale=locale))).word(about, word)


def test_every_column_has_a_heading_and_a_meaning():
    assert tuple(HEADINGS) == tuple(MEANINGS) == COLUMNS


@every_language
def test_every_heading_is_known_and_means_one_column(locale):
    words = Words(locale=locale)
    for headings in (COLUMNS, tuple(HEADINGS.values()), tuple(map(words.say, HEADINGS.values()))):
        reader = RowReader(a_shop(locale), TODAY, vocabulary(words))
        reader.read([(1, headings)])
        assert reader.unknown == []
        assert [bad.problem.code for bad in reader.bad] == ["sheet.no_rows"]


@every_language
@pytest.mark.parametrize("about", WORDS)
def test_every_choice_of_the_pages_is_understood(locale, about):
    assert set(CHOICES[about]) == set(WORDS[about])
    say = Words(locale=locale).say
    for value, label in CHOICES[about].items():
        for said in (value, label, say(label), say(label).upper(), say(label).split(",")[0]):
            assert understood(locale, about, said) == value, said


def test_a_word_that_no_page_writes_is_not_understood():
    assert understood("sv_SE", "spread by", "jämnt") == "evenly"
    for word in ("rutig", "", "yes"):
        with pytest.raises(Refusal):
            understood("sv_SE", "colour", word)


@every_language
@pytest.mark.parametrize("units", ["imperial", "metric"])
def test_the_examples_say_what_is_needed_and_can_be_read(locale, units):
    words = Words(locale=locale, units=units)
    reader = RowReader(a_shop(locale), TODAY, vocabulary(words))
    (haul,) = reader.read([(1, COLUMNS), *enumerate(map(tuple, examples(words)), 2)])
    assert reader.bad == []
    assert len(haul.pieces) == 2
