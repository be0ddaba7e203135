"""The form by which cloth comes home: one haul with as many pieces as were in the bag."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from decimal import Decimal
from itertools import chain
from typing import Any, Final

from wtforms import Field

from shop.core.cloth import FLAT_SHEETS
from shop.core.errors import Problem, Refusal
from shop.core.measure import Length
from shop.usecases.haul import MOST_ALIKE, HaulGiven, PieceGiven
from shop.web.cloth_shown import CLOTHS, CONDITIONS, FIBRES, SPREADS, size_shown
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
from shop.web.forms import Mistake, ShopForm, mistakes_of
from shop.web.shell import words_now
from shop.words import mark

FIRST_ROWS: Final = 3
MORE_ROWS: Final = 3
MOST_ROWS: Final = 60
"""Places for pieces on one page; several pieces alike take one."""
SHEETS: Final[dict[str, str]] = {
    "twin": mark("Twin flat sheet, %(size)s"),
    "full": mark("Full flat sheet, %(size)s"),
    "queen": mark("Queen flat sheet, %(size)s"),
    "king": mark("King flat sheet, %(size)s"),
}
_OF_A_PIECE = re.compile(r"haul\.pieces\.(\d+)(\..+)")
HALF: Final = Decimal("0.5")


def sheet_sizes() -> list[tuple[str, str]]:
    """Customary sizes to choose from, with their names."""
    say = words_now().say
    return [(key, say(SHEETS[key], size=size_shown(*size))) for key, size in FLAT_SHEETS.items()]


class PieceForm(ShopForm):
    """A piece, or several alike."""

    class Meta(ShopForm.Meta):
        """Guarded by the form that it is part of."""

        csrf = False

    name = TextField(mark("What it is"), hint=mark("Such as “blue striped sheet”."))
    cloth = ChoiceField(
        mark("Kind of cloth"), choices=tuple(CLOTHS.items()), blank=mark("Not known"), needed=False
    )
    colour = ColourField(mark("Colour"), default="#7d8a99")
    fibres = ChoiceField(mark("Fibre"), choices=tuple(FIBRES.items()), blank=mark("Unknown"), needed=False)
    mixed = ChoiceField(
        mark("Mixed with"), choices=tuple(FIBRES.items()), blank=mark("Nothing else"), needed=False
    )
    mixed_share = ShareField(
        mark("Share of that"), least=Decimal("0.01"), most=Decimal("0.99"), needed=False, default=HALF
    )
    sheet = ChoiceField(
        mark("Customary size"), choices=sheet_sizes, named=True, blank=mark("As measured"), needed=False
    )
    width = LengthField(mark("Width"), needed=False)
    length = LengthField(mark("Length"), needed=False)
    weight = WeightField(mark("Weight, if weighed"), needed=False)
    tears = ChoiceField(
        mark("Tear test"),
        choices=(("yes", mark("Tears straight")), ("no", mark("Does not tear"))),
        blank=mark("Not tried"),
        needed=False,
    )
    condition = ChoiceField(
        mark("Condition"), choices=tuple(CONDITIONS.items()), blank=mark("Not looked at"), needed=False
    )
    kept = TextField(mark("Kept where"), needed=False, hint=mark("Such as “shelf B”."))
    yarn = TextField(
        mark("Yarn count"), needed=False, hint=mark("Such as 8/4, or 2020 m/kg. A cone has a weight and no size.")
    )
    paid = MoneyField(mark("Price of one"), hint=mark("0 if it was given to you."))
    count = NumberField(mark("How many alike"), whole=True, least=1, most=MOST_ALIKE, default=1)
    ready = CheckField(mark("Washed and dried already"), hint=mark("Otherwise it is set aside to wash."))

    @property
    def is_blank(self) -> bool:
        """Nothing that says anything was typed; such a place for a piece is passed over."""
        telling = (self.name, self.sheet, self.width, self.length, self.weight, self.paid, self.yarn)
        return not any("".join(map(str, field.raw_data or [])).strip() for field in telling)

    @property
    def is_mixed(self) -> bool:
        """Something is said, rightly or wrongly, about a second fibre."""
        return bool(self.mixed.data or self.mixed.errors or self.mixed_share.errors)

    @property
    def is_cone(self) -> bool:
        """Something is said, rightly or wrongly, about yarn."""
        return bool(self.yarn.data or self.yarn.errors)

    def validate(self, extra_validators: Mapping[str, Any] | None = None) -> bool:
        """Whether each entry could be read, and there is a size."""
        readable = super().validate(extra_validators)
        unsaid = [] if self.sheet.data or self.yarn.data else [self.width, self.length]
        missing = [field for field in unsaid if field.data is None and not field.errors]
        for field in missing:
            self.refuse(Problem("length.missing", field.where))
        if self.mixed.data and not self.fibres.data and not self.fibres.errors:
            self.refuse(Problem("choice.missing", self.fibres.where))
            return False
        return readable and not missing

    def given(self) -> PieceGiven:
        """What was given; a customary size stands in for what was not measured."""
        width, length = FLAT_SHEETS.get(self.sheet.data or "", (Length(0), Length(0)))
        return PieceGiven(
            name=self.name.data,
            width=self.width.data or width,
            length=self.length.data or length,
            paid=self.paid.data,
            cloth=self.cloth.data or "",
            colour=self.colour.data,
            fibres=self._fibres(),
            weight=self.weight.data,
            tears={"yes": True, "no": False}.get(self.tears.data or ""),
            condition=self.condition.data or "",
            kept=self.kept.data or "",
            yarn=self.yarn.data or "",
            ready=self.ready.data or bool(self.yarn.data),
            count=self.count.data,
        )

    def _fibres(self) -> tuple[tuple[str, Decimal], ...]:
        if not self.fibres.data:
            return ()
        if not self.mixed.data:
            return ((self.fibres.data, Decimal(1)),)
        share = self.mixed_share.data or HALF
        return ((self.fibres.data, 1 - share), (self.mixed.data, share))


class HaulForm(ShopForm):
    """A haul and its pieces. Its entries are called after their place in the haul, as problems are."""

    place = TextField(mark("Where"), hint=mark("A thrift shop, a jumble sale, a neighbour."))
    on = DateField(mark("When"))
    tax = MoneyField(mark("Tax"), needed=False)
    discount = MoneyField(mark("Discount"), needed=False, hint=mark("Taken off the prices, in proportion."))
    washing = MoneyField(mark("Washing"), needed=False)
    trip = MoneyField(mark("Trip"), needed=False, hint=mark("Petrol, fares, parking."))
    spread_by = ChoiceField(mark("Tax, washing and trip are spread"), choices=tuple(SPREADS.items()))
    note = TextField(mark("Note"), needed=False, lines=2, longest=2000)
    saving = SavingField()

    def __init__(
        self, formdata: Mapping[str, Any] | None = None, *, more: bool = False, **kwargs: Any
    ) -> None:
        """The form as sent, or a fresh one; ``more`` adds places for pieces."""
        super().__init__(formdata, prefix="haul-", **kwargs)
        sent = _rows_sent(formdata.get("haul-rows", "")) if formdata is not None else 0
        rows = min(MOST_ROWS, sent + MORE_ROWS if more else sent or FIRST_ROWS)
        self.pieces = [_piece(formdata if row < sent else None, str(row)) for row in range(rows)]
        self.blank = _piece(None, "NEW")

    @property
    def can_grow(self) -> bool:
        """There may be more places for pieces."""
        return len(self.pieces) < MOST_ROWS

    def filled(self) -> list[tuple[int, PieceForm]]:
        """The places in which something was typed, counted from nought."""
        return [(row, piece) for row, piece in enumerate(self.pieces) if not piece.is_blank]

    def every_field(self) -> Iterator[Field]:
        """All fields, those of the pieces too."""
        return chain(super().every_field(), *(piece.every_field() for piece in self.pieces))

    def validate(self, extra_validators: Mapping[str, Any] | None = None) -> bool:
        """Whether each entry could be read."""
        return all([super().validate(extra_validators), *(piece.validate() for _, piece in self.filled())])

    def refuse(self, refusal: Refusal | Problem) -> None:
        """As for any form; the haul counts only the pieces that were filled in."""
        problems = (refusal,) if isinstance(refusal, Problem) else refusal.problems
        rows = [row for row, _ in self.filled()]
        super().refuse(Refusal(*(_at_its_row(problem, rows) for problem in problems)))

    def mistakes(self) -> list[Mistake]:
        """Every problem; those of a piece say of which."""
        found = [Mistake("", "", sentence) for sentence in self.loose]
        say = words_now().say
        for field in super().every_field():
            found += mistakes_of(field)
        for row, piece in self.filled():
            for field in piece.every_field():
                label = say("Piece %(number)s, %(entry)s", number=row + 1, entry=say(field.label.text))
                found += mistakes_of(field, label)
        return found

    def given(self) -> HaulGiven:
        """What was given."""
        return HaulGiven(
            place=self.place.data,
            on=self.on.data,
            pieces=tuple(piece.given() for _, piece in self.filled()),
            tax=self.tax.data,
            discount=self.discount.data,
            washing=self.washing.data,
            trip=self.trip.data,
            spread_by=self.spread_by.data,
            note=self.note.data or "",
        )


def _piece(formdata: Mapping[str, Any] | None, row: str) -> PieceForm:
    return PieceForm(formdata, prefix=f"haul-pieces-{row}-")


def _rows_sent(text: str) -> int:
    readable = text.isascii() and text.isdigit() and len(text) < 4
    return max(1, min(MOST_ROWS, int(text))) if readable else FIRST_ROWS


def _at_its_row(problem: Problem, rows: list[int]) -> Problem:
    found = _OF_A_PIECE.fullmatch(problem.where)
    return problem.at(f"haul.pieces.{rows[int(found[1])]}{found[2]}") if found else problem
