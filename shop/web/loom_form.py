"""What the forms of all looms have: a name, the usual strip, how the weft lies; and a warp of yarn."""

from __future__ import annotations

from decimal import Decimal
from typing import Final

from shop.core.cloth import ClothKind
from shop.core.errors import Problem, Unreadable
from shop.core.keys import YARN_KIND_GUESS, Units, strip_guess, yarn_guess
from shop.core.loom import Loom
from shop.core.measure import Length, parse_length
from shop.core.money import Money
from shop.core.warp import PricePerWeight, Yarn, parse_yarn
from shop.core.weft import packing_guess, take_up_guess
from shop.usecases.loom import MOST_PLACES, LoomGiven
from shop.usecases.loom_sample import packing_counted
from shop.web.fields import (
    ChoiceField,
    LengthField,
    MoneyField,
    NumberField,
    ReadField,
    RevisionField,
    SavingField,
    ShareField,
    TextField,
    TypedField,
)
from shop.web.forms import ShopForm
from shop.web.quote_form import KINDS as CLOTHS
from shop.web.shell import words_now
from shop.words import Words, mark

NOTHING: Final = Length(0)
BY_WEIGHT: Final = (("lb", mark("a pound")), ("kg", mark("a kilogram")))


class PlacesField(TypedField):
    """Several lengths, each on a line of its own, or set apart by semicolons."""

    lines = 3

    def read(self, text: str) -> tuple[Length, ...]:
        """The lengths, shortest first, none twice."""
        words = words_now()
        parts = [part for part in text.replace("\n", ";").split(";") if part.strip()]
        if len(parts) > MOST_PLACES:
            raise Unreadable(Problem("loom.places", values={"most": MOST_PLACES}))
        read = {parse_length(part, decimal_mark=words.decimal_mark, bare_unit=words.bare_length) for part in parts}
        if NOTHING in read:
            raise Unreadable(Problem("length.zero"))
        return tuple(sorted(read))

    def written(self, value: tuple[Length, ...]) -> str:
        """Each on its line."""
        return "\n".join(words_now().typed_length(length) for length in value)


class LoomForm(ShopForm):
    """What every loom has: a name, its usual strip, and how the weft lies on it."""

    saving = SavingField()
    revision = RevisionField(default=0)
    name = TextField(mark("What you call it"), where="loom.name", longest=120)
    strip = LengthField(
        mark("Usual width of a strip"), needed=False, where="loom.strip",
        hint=mark("What you cut for this loom as a rule; every quote can say otherwise."),
    )  # fmt: skip
    packing = NumberField(
        mark("How tightly rows pack (k)"), needed=False, least=Decimal("0.2"), most=50, where="loom.packing",
        hint=mark("Row height over the root of a strip’s solid section. Leave it empty, or count rows below."),
    )  # fmt: skip
    weft_take_up = NumberField(
        mark("Strip over width (m)"), needed=False, least=1, most=10, where="loom.weft_take_up",
        hint=mark("Pull one row out and measure it: its length, divided by the width of the rug."),
    )  # fmt: skip
    counted_rows = NumberField(
        mark("Rows you counted"), needed=False, least=Decimal("0.05"), most=100, where="loom.counted_rows"
    )
    counted_strip = LengthField(mark("Strips were"), needed=False, where="loom.counted_strip")
    counted_cloth = ChoiceField(mark("Cut from"), choices=CLOTHS, default="sheeting", where="loom.counted_cloth")

    def loom(self) -> Loom:
        """The loom itself, of a form without mistakes."""
        raise NotImplementedError

    def given(self) -> LoomGiven:
        """What was given, of a form without mistakes.

        Raises:
            Unreadable: rows were counted, but of what strips is not said.
        """
        return LoomGiven(
            loom=self.loom(), strip=self.strip.data, packing=self._packing(), weft_take_up=self.weft_take_up.data
        )

    def _packing(self) -> Decimal | None:
        counted = self.counted_rows.data
        if counted is None:
            return None if self.packing.data is None else Decimal(self.packing.data)
        if self.counted_strip.data is None:
            raise Unreadable(Problem("length.missing", "loom.counted_strip"))
        per_inch = Decimal(counted) if words_now().units == "imperial" else Decimal(counted) * Decimal("2.54")
        return packing_counted(per_inch, self.counted_strip.data, ClothKind(self.counted_cloth.data))

    def fill(self, given: LoomGiven) -> None:
        """Show a loom."""
        for key in ("strip", "packing", "weft_take_up"):
            self[key].data = getattr(given, key)
        for key in self.of_loom:
            self[key].data = getattr(given.loom, key)

    of_loom: tuple[str, ...] = ()
    """Fields that are the loom's own attributes by the same name."""
    guessed: tuple[str, ...] = ()
    """Those of them that have a starting guess."""

    def tell_guesses(self, usual: Loom, own: Loom) -> None:
        """Say the starting guess beside each field that has one, and mark those that show it.

        Args:
            usual: a loom of this kind, all of it a starting guess.
            own: the loom of this form, as far as it is known.
        """
        words = words_now()
        self.strip.guess = words.length(strip_guess(usual.kind, Units(words.units)))
        self.packing.guess = words.number(packing_guess(own), 2, trimmed=True)
        self.weft_take_up.guess = words.number(take_up_guess(usual), 2, trimmed=True)
        for key in self.guessed:
            field, guess = self[key], getattr(usual, key)
            if field.data is not None and field.data == as_typed(guess):
                field.basis = "guess"
            else:
                field.guess = words.percent(guess) if isinstance(field, ShareField) else words.written(guess)


def yarn_price_text(price: PricePerWeight, words: Words) -> str:
    """What yarn costs by weight, in the shop's currency."""
    amount = Money.rounded(price.amount, words.currency)
    if price.unit == "kg":
        return words.say("%(price)s a kilogram", price=amount)
    return words.say("%(price)s a pound", price=amount)


def as_typed(guess: object) -> object:
    """A guess as its field would read it."""
    return Decimal(repr(guess)) if isinstance(guess, float) else guess


class YarnForm(LoomForm):
    """What looms with a warp of yarn have besides."""

    yarn = ReadField(
        mark("Warp yarn"), read=parse_yarn, written=lambda yarn: yarn.text, needed=False, where="loom.yarn",
        hint=mark("Its count, like 8/4, or how far it goes: 1600 yd/lb, 2020 m/kg, 385 tex. The label on the tube wins."),
    )  # fmt: skip
    yarn_price = MoneyField(mark("Price of the yarn"), needed=False, where="loom.yarn_price")
    yarn_unit = ChoiceField(mark("for"), choices=BY_WEIGHT, where="loom.yarn_unit")

    def given(self) -> LoomGiven:
        """With its yarn."""
        plain = super().given()
        price = self.yarn_price.data
        return LoomGiven(
            loom=plain.loom,
            strip=plain.strip,
            packing=plain.packing,
            weft_take_up=plain.weft_take_up,
            yarn=self.yarn.data.text if self.yarn.data else "",
            yarn_price=PricePerWeight(price.amount, self.yarn_unit.data) if price else None,
        )

    def fill(self, given: LoomGiven) -> None:
        """Show a loom and its yarn."""
        super().fill(given)
        words = words_now()
        self.yarn.data = Yarn(given.yarn, 0) if given.yarn else None
        self.yarn_unit.data = words.bare_weight
        if given.yarn_price is not None:
            self.yarn_price.data = Money.rounded(given.yarn_price.amount, words.currency)
            self.yarn_unit.data = given.yarn_price.unit

    def tell_guesses(self, usual: Loom, own: Loom) -> None:
        """Those of the yarn too."""
        super().tell_guesses(usual, own)
        words = words_now()
        self.yarn.guess = YARN_KIND_GUESS
        self.yarn_price.guess = yarn_price_text(yarn_guess(words.currency, Units(words.units)), words)
