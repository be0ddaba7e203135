"""The stripes on the form of a quote: one line each, as many as are wanted."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from decimal import Decimal
from typing import Any, Final

from wtforms import Field

from shop.core.errors import Problem, Unreadable
from shop.core.measure import Length, parse_length, parse_number
from shop.core.stripe_plan import MOST_BANDS, By
from shop.usecases.chosen import CHANCE, NEW, StripeLine, Stripes
from shop.web.choice_fields import CheckField, ChoiceField
from shop.web.forms import Mistake, ShopForm, mistakes_of
from shop.web.measure_fields import NumberField
from shop.web.shell import words_now
from shop.web.typed_field import TypedField
from shop.words import mark

FIRST_LINES: Final = 3
MORE_LINES: Final = 3
WAYS: Final = (
    (By.REST.value, mark("whatever is left")),
    (By.ROWS.value, mark("rows")),
    (By.LENGTH.value, mark("long")),
    (By.SHARE.value, mark("per cent of the rug")),
)
LARGEST_SEED: Final = 999_999


class ClothField(ChoiceField):
    """A cloth of the rug: the number of a piece, the cloth still to be bought, or several by chance."""

    def read(self, text: str) -> int:  # type: ignore[override]
        """The number that stands for it."""
        if text.isascii() and text.isdigit() and 0 < len(text) <= 18:
            return int(text)
        if text == "chance" and self.short_name == "cloth":
            return CHANCE
        raise Unreadable(Problem("choice.unknown", values={"text": text.strip()[:24]}))

    def written(self, value: Any) -> str:
        """The number, or the word for chance."""
        return "chance" if value == CHANCE else str(value)


class AmountField(TypedField):
    """How long a stripe is, as it is typed; what it means depends on the choice beside it."""

    inputmode = "decimal"

    def means(self, by: By) -> tuple[Decimal, Length | None]:
        """The rows or the share of one, and the length.

        Raises:
            Unreadable: when nothing is typed, or it is none of that.
        """
        words, text = words_now(), str(self.data or "").strip().removesuffix("%").strip()
        if by is By.LENGTH:
            length = parse_length(text, decimal_mark=words.decimal_mark, bare_unit=words.bare_length)
            if not length:
                raise Unreadable(Problem("length.zero"))
            return Decimal(0), length
        number = parse_number(text, decimal_mark=words.decimal_mark)
        if by is By.SHARE:
            if not 0 < number <= 100:
                raise Unreadable(Problem("share.large", values={"share": Decimal(1)}))
            return number / 100, None
        if number != int(number):
            raise Unreadable(Problem("number.whole", values={"text": text[:24]}))
        if not 1 <= number <= MOST_ROWS:
            raise Unreadable(Problem("number.range", values={"text": text[:24], "least": 1, "most": MOST_ROWS}))
        return number, None


MOST_ROWS: Final = 10_000


class StripeForm(ShopForm):
    """One stripe."""

    class Meta(ShopForm.Meta):
        """Guarded by the form that it is part of."""

        csrf = False

    cloth = ClothField(mark("Cloth"), needed=False, named=True)
    second = ClothField(mark("Row by row with"), needed=False, named=True)
    amount = AmountField(mark("How much"), needed=False)
    by = ChoiceField(mark("Measured as"), choices=WAYS, needed=False, default=By.REST.value)
    border = CheckField(mark("A border, at both ends"))

    @property
    def is_blank(self) -> bool:
        """No cloth is chosen, and no length given; such a line is passed over."""
        return self.cloth.data is None and not self.cloth.problems and not str(self.amount.data or "").strip()

    def validate(self, extra_validators: Mapping[str, Any] | None = None) -> bool:
        """Whether there is a cloth, and its length can be read."""
        readable = super().validate(extra_validators)
        if self.cloth.data is None and not self.cloth.errors:
            self.refuse(Problem("choice.missing", self.cloth.where))
            readable = False
        by = By(self.by.data or By.REST.value)
        if by is not By.REST:
            try:
                self.amount.means(by)
            except Unreadable as error:
                for problem in error.problems:
                    self.refuse(problem.at(self.amount.where))
                readable = False
        elif str(self.amount.data or "").strip():
            self.refuse(Problem("stripes.which", self.by.where))
            readable = False
        return readable

    def line(self) -> StripeLine:
        """The stripe that a line without mistakes means."""
        by = By(self.by.data or By.REST.value)
        amount, length = (Decimal(0), None) if by is By.REST else self.amount.means(by)
        second = self.second.data if self.cloth.data != CHANCE else None
        return StripeLine(
            cloth=self.cloth.data,
            second=second if second != self.cloth.data else None,
            by=by,
            amount=amount,
            length=length,
            border=self.border.data,
        )


class StripesForm:
    """All stripes of a rug."""

    def __init__(self, formdata: Mapping[str, Any] | None, *, more: bool = False) -> None:
        """As sent, or three empty lines; ``more`` adds lines."""
        self.sent = formdata
        sent = _lines_sent(formdata) if formdata is not None else 0
        count = min(MOST_BANDS, sent + MORE_LINES if more else sent or FIRST_LINES)
        self.lines = [_line(formdata if at < sent else None, at) for at in range(count)]
        self.options: StripesOptions = StripesOptions(formdata, prefix="stripes-")

    @property
    def filled(self) -> list[StripeForm]:
        """The lines in which something was chosen or typed."""
        return [line for line in self.lines if not line.is_blank]

    @property
    def can_grow(self) -> bool:
        """There may be more lines."""
        return len(self.lines) < MOST_BANDS

    def every_field(self) -> Iterator[Field]:
        """All fields of all lines, and those about them all."""
        for line in self.lines:
            yield from line.every_field()
        yield from self.options.every_field()

    def validate(self) -> bool:
        """Whether each line could be read."""
        return all([*(line.validate() for line in self.filled), self.options.validate()])

    def mistakes(self) -> list[Mistake]:
        """Every problem; those of a line say of which."""
        found, say = [], words_now().say
        for at, line in enumerate(self.lines, 1):
            for field in line.every_field():
                label = say("Stripe %(number)s, %(entry)s", number=at, entry=say(field.label.text))
                found += mistakes_of(field, label)
        for field in self.options.every_field():
            found += mistakes_of(field)
        return found

    def offer(self, cloths: Iterable[tuple[int, str]]) -> None:
        """Put the cloths there are into the choices, by the number that stands for each."""
        named = [(str(number), name) for number, name in cloths]
        say = words_now().say
        for line in self.lines:
            line.cloth.choices = [*named, ("chance", say("Several, by chance"))]
            line.second.choices = named
            for field in (line.cloth, line.second):
                field.blank = mark("No stripe") if field is line.cloth else mark("nothing")

    def fill(self, stripes: Stripes | None) -> None:
        """Put chosen stripes into the lines."""
        if stripes is None:
            return
        self.lines = [_line(None, at) for at in range(min(MOST_BANDS, len(stripes.lines) + 1))]
        words = words_now()
        for line, chosen in zip(self.lines, stripes.lines, strict=False):
            line.cloth.data, line.second.data, line.by.data = chosen.cloth, chosen.second, chosen.by.value
            line.border.data = chosen.border
            if chosen.by is By.LENGTH and chosen.length is not None:
                line.amount.data = words.typed_length(chosen.length)
            elif chosen.by is By.SHARE:
                line.amount.data = words.typed_share(chosen.amount)
            elif chosen.by is By.ROWS:
                line.amount.data = words.typed_number(chosen.amount)
        self.options.mirrored.data, self.options.to_the_end.data = stripes.mirrored, stripes.to_the_end
        self.options.seed.data = stripes.seed
        self.options.least.data, self.options.most.data = stripes.least, stripes.most

    def shuffle(self) -> None:
        """Take the next order for what is by chance."""
        seed = self.options.seed
        seed.data, seed.raw_data = (seed.data or 1) % LARGEST_SEED + 1, None

    def numbers(self) -> set[int]:
        """The numbers of the pieces that any line names."""
        named = {field.data for line in self.filled for field in (line.cloth, line.second)}
        return {number for number in named if number is not None and number > NEW}

    def chosen(self) -> Stripes | None:
        """The stripes that lines without mistakes mean; ``None`` where there are none."""
        if not self.filled:
            return None
        usual, options = Stripes(lines=()), self.options
        least = options.least.data or usual.least
        return Stripes(
            lines=tuple(line.line() for line in self.filled),
            mirrored=options.mirrored.data,
            to_the_end=options.to_the_end.data,
            seed=options.seed.data or usual.seed,
            least=least,
            most=max(least, options.most.data or usual.most),
        )


class StripesOptions(ShopForm):
    """What is said of all stripes together."""

    class Meta(ShopForm.Meta):
        """Guarded by the form that it is part of."""

        csrf = False

    mirrored = CheckField(mark("Mirrored: the last stripe is the middle, then they go back"))
    to_the_end = CheckField(mark("Again and again until the rug is full"))
    seed = NumberField(mark("Order by chance, number"), whole=True, least=1, most=LARGEST_SEED, needed=False, default=1)
    least = NumberField(mark("Fewest rows by chance"), whole=True, least=1, most=500, needed=False, default=2)
    most = NumberField(mark("Most rows by chance"), whole=True, least=1, most=500, needed=False, default=8)


    def validate(self, extra_validators: Mapping[str, Any] | None = None) -> bool:
        """Whether each entry could be read, and the most is not fewer than the least."""
        readable = super().validate(extra_validators)
        least, most = self.least.data, self.most.data
        if readable and least and most and most < least:
            self.refuse(Problem("stripes.least", self.most.where, {"least": least}))
            return False
        return readable


def _line(formdata: Mapping[str, Any] | None, at: int) -> StripeForm:
    return StripeForm(formdata, prefix=f"stripe-{at}-")


def _lines_sent(formdata: Mapping[str, Any]) -> int:
    text = str(formdata.get("stripe-lines", ""))
    readable = text.isascii() and text.isdigit() and len(text) < 4
    return max(1, min(MOST_BANDS, int(text))) if readable else 0
