"""Text made for comparing."""

import pytest

from shop.store.folding import folded, name_key, words_of


@pytest.mark.parametrize(
    ("text", "same"),
    [
        ("Sjöberg  ÅSA", "sjoberg asa"),
        ("STRASSE", "straße"),
        ("Ｗｉｄｅ", "wide"),
        ("Ærø", "ÆRØ"),
        ("ΣΊΣΥΦΟΣ", "σίσυφος"),
    ],
)
def test_case_accents_and_width_are_folded_away(text, same):
    assert folded(text) == folded(same)


def test_words_are_told_apart_by_whatever_is_no_letter_or_digit():
    assert words_of("Hall-runner, 30×72 in; (hall_blues) o'Neil") == (
        "hall", "runner", "30", "72", "in", "blues", "o", "neil"
    )  # fmt: skip


def test_words_are_limited_in_length_and_number():
    assert words_of("x" * 500) == ("x" * 40,)
    assert len(words_of(" ".join(str(number) for number in range(500)))) == 40
    assert words_of(" ,.;— ") == ()


def test_names_keep_their_accents_and_lose_what_no_database_takes():
    assert name_key("  Åsa \t NYGÅRD ") == "åsa nygård"
    assert name_key("Asa") != name_key("Åsa")
    assert name_key("a\0b\ud800") == "a?b?"
