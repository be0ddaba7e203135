"""Entry fields: each reads strictly what people type, keeps it, and says what it would have understood."""

from datetime import date
from decimal import Decimal

import pytest
from flask import g
from werkzeug.datastructures import MultiDict

from shop.core.errors import Problem, Refusal
from shop.core.measure import Length, Weight
from shop.core.money import Money
from shop.usecases.given import fresh_token
from shop.web.fields import (
    CheckField,
    ChoiceField,
    ColourField,
    DateField,
    LengthField,
    MoneyField,
    NumberField,
    SavingField,
    ShareField,
    TextField,
    WeightField,
)
from shop.web.forms import ShopForm
from shop.words import Words, mark

SWEDISH = Words("sv_SE", "metric", "Europe/Stockholm", "SEK")


class EveryForm(ShopForm):
    """One field of each kind; the number must be given, the rest need not."""

    class Meta(ShopForm.Meta):
        """Tried outside a session."""

        csrf = False

    number = NumberField(mark("Number"), where="rug.number")
    whole = NumberField(mark("Whole"), whole=True, needed=False, most=50)
    share = ShareField(mark("Share"), needed=False)
    money = MoneyField(mark("Money"), needed=False)
    length = LengthField(mark("Length"), needed=False)
    weight = WeightField(mark("Weight"), needed=False)
    day = DateField(mark("Day"), needed=False)
    colour = ColourField(mark("Colour"), needed=False)
    words = TextField(mark("Words"), needed=False, longest=10)
    lines = TextField(mark("Lines"), needed=False, lines=3)
    choice = ChoiceField(mark("Choice"), choices=(("a", mark("A")), ("b", mark("B"))), needed=False)
    check = CheckField(mark("Check"))
    saving = SavingField()


def shown(field):
    """What stands in the field on the page."""
    return field._value()  # noqa: SLF001 - the form library's own name for it


@pytest.fixture
def typed(app):
    """A form with something typed in, in a shop with words of its own."""
    with app.test_request_context("/"):

        def make(shop=None, **entries):
            g.words = shop or Words()
            form = EveryForm(formdata=MultiDict({"saving": fresh_token(), "number": "1", **entries}))
            form.validate()
            return form

        yield make


@pytest.mark.parametrize(
    ("name", "text", "value"),
    [
        ("number", "12", Decimal(12)),
        ("number", "1,234.5", Decimal("1234.5")),
        ("number", "0", Decimal(0)),
        ("whole", "7", 7),
        ("share", "35", Decimal("0.35")),
        ("share", "35 %", Decimal("0.35")),
        ("share", "12.5%", Decimal("0.125")),
        ("money", "$12.50", Money(1250, "USD")),
        ("length", "2 ft 6 in", Length.of(30, "in")),
        ("length", "30", Length.of(30, "in")),
        ("length", "76 cm", Length.of(76, "cm")),
        ("weight", "1.5", Weight.of("1.5", "lb")),
        ("day", "2026-03-04", date(2026, 3, 4)),
        ("colour", "#A0b1C2", "#a0b1c2"),
        ("words", "  two   words ", "two words"),
        ("lines", "one\r\ntwo", "one\ntwo"),
        ("choice", "b", "b"),
    ],
)
def test_an_american_shop_reads(typed, name, text, value):
    field = typed(**{name: text})[name]
    assert (field.data, field.errors) == (value, [])


@pytest.mark.parametrize(
    ("name", "text", "value"),
    [
        ("number", "1 234,5", Decimal("1234.5")),
        ("share", "12,5", Decimal("0.125")),
        ("money", "12,50 kr", Money(1250, "SEK")),
        ("length", "0,75 m", Length.of(75, "cm")),
        ("length", "76", Length.of(76, "cm")),
        ("weight", "1,5", Weight.of("1.5", "kg")),
    ],
)
def test_a_swedish_shop_reads(typed, name, text, value):
    field = typed(SWEDISH, **{name: text})[name]
    assert (field.data, field.errors) == (value, [])


@pytest.mark.parametrize(
    ("name", "text", "sentence"),
    [
        ("number", "", "Please write a number."),
        ("number", "NaN", "“NaN” is not a number we can read. Write it like 12, 12.5 or 2 1/2."),
        ("number", "Infinity", "“Infinity” is not a number we can read."),
        ("number", "1e400", "“1e400” is not a number we can read."),
        ("number", "-1", "This must be at least 0."),
        ("number", "9" * 30, "This must be at most 1,000,000,000."),
        ("number", "1,5", "“1,5” could be meant in two ways."),
        ("whole", "51", "This must be at most 50."),
        ("whole", "1.5", "This must be a whole number."),
        ("share", "101", "This must be at most 100%."),
        ("share", "much", "“much” is not a percentage we can read. Write it like 35 or 12.5."),
        ("money", "12.505", "An amount in USD cannot have so many decimals."),
        ("money", "-3", "“-3” is less than nothing."),
        ("length", "5 parsecs", "“5 parsecs” is not a length we can read"),
        ("length", "0", "A length of nothing will not do here."),
        ("length", "-3 in", "“-3 in” is less than nothing."),
        ("weight", "0 lb", "A weight of nothing will not do here."),
        ("day", "4/3/2026", "“4/3/2026” is not a day we can read."),
        ("colour", "blue", "“blue” is not a colour we can read."),
        ("words", "x" * 11, "use at most 10 characters."),
        ("words", "🧶" * 10_000, "use at most 10 characters."),
        ("choice", "c", "“c” is not one of the choices."),
    ],
)
def test_what_cannot_be_read_is_kept_and_said(typed, name, text, sentence):
    field = typed(**{name: text})[name]
    assert field.data is None
    assert any(sentence in error for error in field.errors), field.errors
    if name != "choice":
        assert shown(field) == text


def test_what_may_be_left_empty_is_nothing(typed):
    form = typed()
    assert not form.mistakes()
    assert {form[name].data for name in ("share", "money", "length", "weight", "day", "choice")} == {None}
    assert form.check.data is False


def test_control_signs_are_dropped(typed):
    assert typed(words="a\u0000b\u0007").words.data == "ab"


def test_a_value_is_written_as_the_shop_types_it(app):
    with app.test_request_context("/"):
        g.words = SWEDISH
        values = {"share": Decimal("0.125"), "money": Money(1250, "SEK"), "length": Length.of("6.35", "cm")}
        form = EveryForm(formdata=None, data=values)
        assert (shown(form.share), shown(form.money), shown(form.length)) == (
            "12,5",
            "12,50",
            "6,35 cm",
        )


def test_a_refusal_finds_its_fields_by_their_paths(typed):
    form = typed()
    form.refuse(Refusal(Problem("number.whole", "rug.number"), Problem("cloth.none", "elsewhere")))
    assert form.number.errors == ["This must be a whole number."]
    assert [(m.id, m.sentence) for m in form.mistakes()] == [
        ("", "Choose a cloth to weave with."),
        ("number", "This must be a whole number."),
    ]


def test_a_form_makes_a_token_and_keeps_the_one_it_came_with(typed):
    first, second = typed().saving.data, typed().saving.data
    assert first != second
    assert len(first) >= 16
    assert typed(saving=first).saving.data == first
    assert typed(saving="x" * 65).saving.data != "x" * 65


def test_a_choice_marks_the_one_chosen(typed):
    assert typed(choice="b").choice.options() == [("a", "A", False), ("b", "B", True)]
