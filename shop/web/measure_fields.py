"""Entry fields for what is measured: numbers, shares, money, lengths, weights. Each uses the core's parser."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from shop.core.errors import Problem, Unreadable
from shop.core.measure import Length, Weight, parse_length, parse_minutes, parse_number, parse_weight
from shop.core.money import Money, parse_money
from shop.web.shell import words_now
from shop.web.typed_field import TypedField


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
        number = self.parsed(text)
        if self.least is not None and number < self.least:
            raise Unreadable(Problem("number.small", values={"least": self.least}))
        if number > self.most:
            raise Unreadable(Problem("number.large", values={"most": self.most}))
        if not self.whole:
            return number
        if number != int(number):
            raise Unreadable(Problem("number.whole"))
        return int(number)

    def parsed(self, text: str) -> Decimal:
        """The number that is meant, wherever it lies."""
        return parse_number(text, decimal_mark=words_now().decimal_mark, grouped=True)

    def written(self, value: float | Decimal) -> str:
        """All its decimals."""
        return words_now().typed_number(value)


class MinutesField(NumberField):
    """A time in minutes, also written in hours and minutes."""

    inputmode = ""

    def parsed(self, text: str) -> Decimal:
        """The minutes that are meant."""
        return parse_minutes(text, decimal_mark=words_now().decimal_mark)


class ShareField(TypedField):
    """A percentage, kept as a share of one: ``35`` and ``35 %`` are ``Decimal("0.35")``."""

    kind = "share"
    inputmode = "decimal"

    def __init__(
        self, label: str = "", *, least: Decimal | int = 0, most: Decimal | int = 1, **kwargs: Any
    ) -> None:
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
