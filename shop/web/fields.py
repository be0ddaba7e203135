"""Entry fields that read what people type, strictly, with the core's own parsers.

Each field ends in a value of the core (a ``Length``, a ``Money``, a share of one) or in problems. It keeps
what was typed, and says in the shop's language what would have been understood. ``where`` is the dotted
path by which a refusal from a use case finds the field again; by default its name, with dots for dashes.
"""

from __future__ import annotations

import re
import secrets
import unicodedata
from collections.abc import Callable
from datetime import date
from decimal import Decimal
from typing import Any

from wtforms import BooleanField, Field, HiddenField
from wtforms.widgets import TextInput

from shop.core.errors import Problem, Refusal, Unreadable
from shop.core.measure import Length, Weight, parse_length, parse_number, parse_weight
from shop.core.money import Money, parse_money
from shop.web.shell import words_now
from shop.words.problems import problem_sentences

LONGEST_LINE = 200
LONGEST_NOTE = 4000
_COLOUR = re.compile(r"#[0-9a-fA-F]{6}")


class TypedField(Field):
    """A field that reads one kind of value. Its kinds override ``read`` and ``written``."""

    widget = TextInput()
    kind = "text"
    entry = "text"
    inputmode = ""

    def __init__(
        self, label: str = "", *, hint: str = "", needed: bool = True, where: str = "", auto: str = "", **kwargs: Any
    ) -> None:
        """See the class.

        Args:
            label: what it is, as a marked msgid.
            hint: how to fill it in, as a marked msgid.
            needed: whether it must be filled in.
            where: its dotted path; by default from its name.
            auto: the HTML ``autocomplete`` word.
            kwargs: as for any WTForms field.
        """
        super().__init__(label, description=hint, **kwargs)
        self.needed = needed
        self.where = where or self.name.replace("-", ".")
        self.auto = auto
        self.problems: list[Problem] = []

    def read(self, text: str) -> Any:
        """The value that the text says; raises ``Refusal``."""
        return text

    def written(self, value: Any) -> str:
        """The text that says the value."""
        return words_now().written(value)

    def process_formdata(self, valuelist: list[str]) -> None:
        """Read what was typed; what cannot be read becomes problems."""
        self.problems = []
        self.data = None
        text = str(valuelist[0]) if valuelist else ""
        if not text.strip():
            if self.needed:
                self.problems = [Problem(self.missing, self.where)]
            return
        try:
            self.data = self.read(text)
        except Refusal as refusal:
            self.problems = [problem.at(self.where) for problem in refusal.problems]

    @property
    def missing(self) -> str:
        """The code of the problem of an empty field."""
        return {"length": "length.missing", "weight": "weight.missing", "money": "money.missing",
                "number": "number.missing", "share": "share.missing", "date": "date.missing",
                "choice": "choice.missing"}.get(self.kind, "text.missing")  # fmt: skip

    def _value(self) -> str:
        if self.raw_data:
            return str(self.raw_data[0])
        return "" if self.data is None else self.written(self.data)

    def validate(self, form: object, extra_validators: object = ()) -> bool:  # noqa: ARG002 - WTForms' form of it
        """Whether it could be read; its errors are sentences."""
        self.errors = problem_sentences(self.problems, words_now())
        return not self.errors


class TextField(TypedField):
    """A line of text, or several."""

    def __init__(self, label: str = "", *, longest: int = LONGEST_LINE, lines: int = 1, **kwargs: Any) -> None:
        """A line, or a text area of so many lines; at most so many characters."""
        super().__init__(label, **kwargs)
        self.longest = longest
        self.lines = lines

    def read(self, text: str) -> str:
        """Trimmed, composed, without control characters."""
        composed = unicodedata.normalize("NFC", text.replace("\r\n", "\n"))
        kept = "".join(c for c in composed if c == "\n" or unicodedata.category(c) not in ("Cc", "Cs"))
        cleaned = kept.strip() if self.lines > 1 else " ".join(kept.split())
        if len(cleaned) > self.longest:
            raise Unreadable(Problem("text.long", values={"most": self.longest}))
        if not cleaned and self.needed:
            raise Unreadable(Problem("text.missing"))
        return cleaned


class PasswordField(TypedField):
    """A password: never shown again, never changed."""

    entry = "password"

    def _value(self) -> str:
        return ""


class NumberField(TypedField):
    """A plain number, as a ``Decimal``; a whole one as an ``int``."""

    kind = "number"
    inputmode = "decimal"

    def __init__(
        self,
        label: str = "",
        *,
        least: Decimal | int | None = 0,
        most: Decimal | int = 1_000_000_000,
        whole: bool = False,
        **kwargs: Any,
    ) -> None:
        """A number between two ends, both allowed."""
        super().__init__(label, **kwargs)
        self.least, self.most, self.whole = least, most, whole

    def read(self, text: str) -> Decimal | int:
        """The number, if it lies between the ends."""
        number = parse_number(text, decimal_mark=words_now().decimal_mark, grouped=True)
        if self.least is not None and number < self.least:
            raise Unreadable(Problem("number.small", values={"least": self.least}))
        if number > self.most:
            raise Unreadable(Problem("number.large", values={"most": self.most}))
        if not self.whole:
            return number
        if number != int(number):
            raise Unreadable(Problem("number.whole"))
        return int(number)

    def written(self, value: float | Decimal) -> str:
        """All its decimals."""
        return words_now().typed_number(value)


class ShareField(TypedField):
    """A percentage, kept as a share of one: ``35`` and ``35 %`` are ``Decimal("0.35")``."""

    kind = "share"
    inputmode = "decimal"

    def __init__(self, label: str = "", *, least: Decimal | int = 0, most: Decimal | int = 1, **kwargs: Any) -> None:
        """A share between two ends, both allowed."""
        super().__init__(label, **kwargs)
        self.least, self.most = Decimal(least), Decimal(most)

    def read(self, text: str) -> Decimal:
        """The share, if it lies between the ends."""
        try:
            percent = parse_number(text.strip().removesuffix("%"), decimal_mark=words_now().decimal_mark)
        except Unreadable as error:
            if error.problems[0].code not in ("number.unreadable", "number.missing"):
                raise
            raise Unreadable(Problem("share.unreadable", values={"text": text.strip()[:24]})) from None
        share = percent / 100
        if share < self.least:
            raise Unreadable(Problem("share.small", values={"share": self.least}))
        if share > self.most:
            raise Unreadable(Problem("share.large", values={"share": self.most}))
        return share

    def written(self, value: Decimal | float) -> str:
        """In per cent."""
        return words_now().typed_share(value)


class MoneyField(TypedField):
    """An amount in the shop's currency, or another that is named."""

    kind = "money"
    inputmode = "decimal"

    def __init__(self, label: str = "", *, currency: str = "", **kwargs: Any) -> None:
        """An amount; without a currency, in the shop's own."""
        super().__init__(label, **kwargs)
        self._currency = currency

    @property
    def currency(self) -> str:
        """What it is in."""
        return self._currency or words_now().currency

    def read(self, text: str) -> Money:
        """The amount."""
        return parse_money(text, self.currency, decimal_mark=words_now().decimal_mark)

    def written(self, value: Money) -> str:
        """Without the currency's sign."""
        return words_now().typed_money(value)


class LengthField(TypedField):
    """A length, in any units that are named; without one, in inches or centimetres as the shop measures."""

    kind = "length"

    def __init__(self, label: str = "", *, least: Length = Length(1), **kwargs: Any) -> None:
        """A length that is at least so long; by default, not nothing."""
        super().__init__(label, **kwargs)
        self.least = least

    def read(self, text: str) -> Length:
        """The length."""
        words = words_now()
        length = parse_length(text, decimal_mark=words.decimal_mark, bare_unit=words.bare_length)
        if length < self.least:
            code = "length.zero" if self.least == Length(1) else "length.small"
            raise Unreadable(Problem(code, values={"least": self.least}))
        return length

    def written(self, value: Length) -> str:
        """Exactly."""
        return words_now().typed_length(value)


class WeightField(TypedField):
    """A weight, in any units that are named; without one, in pounds or kilograms as the shop weighs."""

    kind = "weight"

    def read(self, text: str) -> Weight:
        """The weight."""
        words = words_now()
        weight = parse_weight(text, decimal_mark=words.decimal_mark, bare_unit=words.bare_weight)
        if not weight:
            raise Unreadable(Problem("weight.zero"))
        return weight

    def written(self, value: Weight) -> str:
        """Exactly."""
        return words_now().typed_weight(value)


class DateField(TypedField):
    """A day."""

    kind = "date"
    entry = "date"

    def read(self, text: str) -> date:
        """The day, from year-month-day."""
        try:
            return date.fromisoformat(text.strip())
        except ValueError:
            raise Unreadable(Problem("date.unreadable", values={"text": text.strip()[:24]})) from None

    def written(self, value: date) -> str:
        """As browsers want it."""
        return value.isoformat()


class ColourField(TypedField):
    """A colour, as ``#rrggbb``."""

    entry = "color"

    def read(self, text: str) -> str:
        """The colour, in small letters."""
        if not _COLOUR.fullmatch(text.strip()):
            raise Unreadable(Problem("colour.unreadable", values={"text": text.strip()[:24]}))
        return text.strip().lower()


class ReadField(TypedField):
    """A field for anything else the core can read from text: a sett, a yarn, a cloth's weight."""

    def __init__(
        self,
        label: str = "",
        *,
        read: Callable[[str], Any],
        written: Callable[[Any], str] | None = None,
        **kwargs: Any,
    ) -> None:
        """A field with its parser, and the way its value is written back."""
        super().__init__(label, **kwargs)
        self._read, self._written = read, written

    def read(self, text: str) -> Any:
        """What the parser makes of it."""
        return self._read(text)

    def written(self, value: Any) -> str:
        """As it is typed."""
        return self._written(value) if self._written else str(value)


class ChoiceField(TypedField):
    """One of several. The choices are (value, marked label) pairs, or a function that gives them."""

    kind = "choice"
    entry = "choice"

    def __init__(
        self,
        label: str = "",
        *,
        choices: Callable[[], list[tuple[str, str]]] | list[tuple[str, str]] | tuple[tuple[str, str], ...] = (),
        named: bool = False,
        buttons: bool = False,
        blank: str = "",
        **kwargs: Any,
    ) -> None:
        """A choice.

        Args:
            label: what is chosen.
            choices: the values and labels, or what gives them when the page is made.
            named: the labels are names, not to be translated.
            buttons: shown as radio buttons and not as a list.
            blank: the label of choosing none, where that is allowed.
            kwargs: as for any field here.
        """
        super().__init__(label, **kwargs)
        self.choices = choices
        self.named, self.buttons, self.blank = named, buttons, blank

    def pairs(self) -> list[tuple[str, str]]:
        """The values and labels."""
        return list(self.choices() if callable(self.choices) else self.choices)

    def options(self) -> list[tuple[str, str, bool]]:
        """(value, label in the shop's language, whether it is chosen)."""
        chosen = self._value()
        say = words_now().say
        blank = [("", say(self.blank), not chosen)] if self.blank else []
        return blank + [(v, n if self.named else say(n), v == chosen) for v, n in self.pairs()]

    def read(self, text: str) -> str:
        """The value, if it is one of them."""
        if text not in dict(self.pairs()):
            raise Unreadable(Problem("choice.unknown", values={"text": text.strip()[:24]}))
        return text

    def written(self, value: Any) -> str:
        """Itself; an enumeration by its value."""
        return str(getattr(value, "value", value))


class CheckField(BooleanField):
    """Yes or no."""

    entry = "check"
    problems: tuple[Problem, ...] = ()

    def __init__(self, label: str = "", *, hint: str = "", where: str = "", **kwargs: Any) -> None:
        """A box to tick."""
        super().__init__(label, description=hint, **kwargs)
        self.where = where or self.name.replace("-", ".")
        self.needed = True


class SavingField(HiddenField):
    """A token made with the page, so that pressing twice is one act."""

    def process(self, formdata: Any, data: Any = None, extra_filters: Any = None) -> None:
        """What came back with the form; else a new one."""
        super().process(formdata, data or secrets.token_urlsafe(16), extra_filters)
        if not self.data or len(self.data) > 64:
            self.data = secrets.token_urlsafe(16)
