"""The form of a quote: what a customer asked for, and how the weaver means to make it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from functools import lru_cache
from itertools import chain
from typing import Any, Final

from flask import request
from wtforms import Field

from shop.core.cloth import ClothKind, Fibre
from shop.core.errors import Problem, Unreadable
from shop.core.hours import STEPS
from shop.core.loom import CUSTOMARY_SIZES
from shop.core.measure import Length, parse_number
from shop.core.price import PriceBy
from shop.core.strips import Join, Tool, Way
from shop.paper.advice import FIBRES
from shop.usecases.chosen import Chosen, NewCloth
from shop.usecases.planning import Planned
from shop.usecases.workroom import Workroom
from shop.web.fields import (
    CheckField,
    ChoiceField,
    ColourField,
    LengthField,
    MoneyField,
    NumberField,
    RevisionField,
    SavingField,
    ShareField,
    TextField,
)
from shop.web.forms import Mistake, ShopForm, mistakes_of
from shop.web.shell import words_now
from shop.web.stripe_form import StripesForm
from shop.words import Words, mark
from shop.words.problems import problem_sentences

TOOLS: Final = (
    (Tool.ROTARY.value, mark("Cut with a rotary cutter")),
    (Tool.SCISSORS.value, mark("Cut with scissors")),
    (Tool.TEAR.value, mark("Torn")),
)
WAYS: Final = (
    (Way.ALONG.value, mark("Along the piece")),
    (Way.ACROSS.value, mark("Across the piece")),
    (Way.ZIGZAG.value, mark("Back and forth, in one strip")),
    (Way.TUBE.value, mark("A tube, in a spiral")),
)
JOINS: Final = (
    (Join.OVERLAP.value, mark("Overlapped in the shed")),
    (Join.SLIT.value, mark("Slit and looped")),
    (Join.BIAS.value, mark("Sewn on the bias")),
    (Join.LAP.value, mark("Sewn, lapped")),
    (Join.NONE.value, mark("Nothing lost")),
)
KINDS: Final = (
    (ClothKind.SHEETING.value, mark("Sheeting")),
    (ClothKind.QUILTING.value, mark("Quilting cotton")),
    (ClothKind.FLANNEL.value, mark("Flannel")),
    (ClothKind.JERSEY.value, mark("T-shirt jersey")),
    (ClothKind.MUSLIN.value, mark("Muslin")),
    (ClothKind.VOILE.value, mark("Voile curtain")),
    (ClothKind.TERRY.value, mark("Terry towelling")),
    (ClothKind.CORDUROY.value, mark("Corduroy")),
    (ClothKind.DENIM.value, mark("Denim")),
    (ClothKind.BLANKET.value, mark("Wool blanket")),
)
KNOWN_FIBRES: Final = tuple((fibre, name) for fibre, name in FIBRES.items() if fibre != Fibre.UNKNOWN.value)
RULES: Final = (
    (PriceBy.MARKUP.value, mark("A markup on the cost")),
    (PriceBy.MARGIN.value, mark("A margin, kept of the price")),
    (PriceBy.TRADE.value, mark("From a price to shops")),
    (PriceBy.AREA.value, mark("So much for the area")),
    (PriceBy.HAND.value, mark("Set by hand")),
)
MOST_CHOSEN: Final = 12
MOST_SHARE: Final = 1000
SMALLEST_PART: Final = Decimal("0.01")
INCH_IN_CM: Final = Decimal("2.54")


def _sizes() -> list[tuple[str, str]]:
    return _sizes_in(words_now())


@lru_cache(maxsize=64)
def _sizes_in(words: Words) -> list[tuple[str, str]]:
    return [(str(place), words.size(size)) for place, size in enumerate(CUSTOMARY_SIZES[words.units])]


class QuoteForm(ShopForm):
    """The quote page's form."""

    saving = SavingField()
    revision = RevisionField(default=0)
    customer_name = TextField(mark("Who asked for it"), needed=False, longest=120, where="quote.customer_name")
    customer_contact = TextField(
        mark("How to reach them"), needed=False, longest=400, lines=2, where="quote.customer_contact"
    )
    title = TextField(
        mark("What the rug is called"),
        needed=False,
        longest=120,
        where="quote.title",
        hint=mark("As the customer will read it, such as “Blue runner for the hall”."),
    )
    size = ChoiceField(
        mark("A customary size"), choices=_sizes, named=True, blank=mark("As written below"), needed=False
    )
    width = LengthField(mark("Width"), needed=False, where="rug.width")
    length = LengthField(mark("Length"), needed=False, where="rug.length")
    rugs_on_warp = NumberField(
        mark("Rugs on the warp"), whole=True, least=1, most=100, needed=False, where="rug.rugs_on_warp",
        hint=mark("On a shaft loom: how many are woven on one warp, so that its waste is shared."),
    )  # fmt: skip
    strip = LengthField(
        mark("Width of a strip"), needed=False, where="weft.strip", hint=mark("Left empty: as this loom is woven as a rule.")
    )
    tool = ChoiceField(mark("Strips are"), choices=TOOLS, where="weft.tool")
    way = ChoiceField(mark("Pieces are cut"), choices=WAYS, where="weft.way")
    joins = ChoiceField(mark("Joins are"), choices=JOINS, where="weft.joins")
    rows_counted = NumberField(
        mark("Rows counted"), least=Decimal("0.05"), most=100, needed=False, where="weft.rows_per_inch",
        hint=mark("If you have counted them on this loom with such cloth; that is used instead of the estimate, always."),
    )  # fmt: skip
    repeats = NumberField(
        mark("Stripes: repeat the cloths"), whole=True, least=1, most=100, needed=False, where="weft.repeats",
        hint=mark("How many times the chosen cloths come one after the other."),
    )  # fmt: skip
    new_cloth = CheckField(mark("A cloth still to be bought"))
    new_kind = ChoiceField(mark("Kind of cloth"), choices=KINDS)
    new_fibre = ChoiceField(mark("Fibre"), choices=KNOWN_FIBRES, blank=mark("Not known"), needed=False)
    new_colour = ColourField(mark("Colour"), needed=False)
    new_width = LengthField(mark("Width of a piece"), needed=False)
    new_length = LengthField(mark("Length of a piece"), needed=False)
    new_paid = MoneyField(mark("Price of a piece"), needed=False)
    new_share = NumberField(mark("Part of the rug"), least=Decimal("0.01"), most=MOST_SHARE, needed=False)
    minutes_wash = NumberField(mark("Wash and sort"), most=100_000, needed=False, where="hours.wash")
    minutes_cut = NumberField(mark("Cut or tear"), most=100_000, needed=False, where="hours.cut")
    minutes_warp = NumberField(mark("Warp the loom"), most=100_000, needed=False, where="hours.warp")
    minutes_weave = NumberField(mark("Weave"), most=100_000, needed=False, where="hours.weave")
    minutes_finish = NumberField(mark("Finish"), most=100_000, needed=False, where="hours.finish")
    minutes_office = NumberField(
        mark("Office: quote, photographs, packing"), most=100_000, needed=False, where="hours.office"
    )
    price_by = ChoiceField(
        mark("The price comes from"), choices=RULES, blank=mark("The shop's own rule"), needed=False
    )
    share = ShareField(
        mark("Markup or margin"), most=100, needed=False, where="price.markup", hint=mark("For the rules by markup, margin or trade price.")
    )
    area_rate = MoneyField(mark("Price for the area"), needed=False, where="price.per_square_foot")
    set_price = MoneyField(mark("Price set by hand"), needed=False, where="price.asking")
    discount = ShareField(mark("Discount"), needed=False, where="price.discount")
    postage = MoneyField(mark("Postage"), needed=False, where="bought_in.postage")
    label = MoneyField(mark("Label"), needed=False, where="bought_in.label")
    mat = MoneyField(mark("Non-slip mat"), needed=False, where="bought_in.mat")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        """As for any form; the stripes come with it, and ``act=stripes`` asks for more lines of them."""
        super().__init__(*args, **kwargs)
        sent = request.form if "formdata" not in kwargs and self.is_submitted() else None
        act = request.form.get("act") if sent is not None else ""
        self.stripes = StripesForm(sent, more=act == "stripes")
        if act == "shuffle":
            self.stripes.shuffle()

    def every_field(self) -> Iterator[Field]:
        """All fields, those of the stripes too."""
        return chain(super().every_field(), self.stripes.every_field())

    def validate(self, extra_validators: Mapping[str, Any] | None = None) -> bool:
        """Whether each entry could be read."""
        return all([super().validate(extra_validators), self.stripes.validate()])

    def mistakes(self) -> list[Mistake]:
        """Every problem; those of a stripe say of which."""
        found = [Mistake("", "", sentence) for sentence in self.loose]
        for field in super().every_field():
            found += mistakes_of(field)
        return [*found, *self.stripes.mistakes()]

    @property
    def minutes(self) -> list[Any]:
        """The fields of the steps' minutes, in order."""
        return [self[f"minutes_{step}"] for step in STEPS]


@dataclass(frozen=True, slots=True)
class PieceEntry:
    """A piece ticked on the form: its part of the rug as typed and as read, and what is wrong with it."""

    number: int
    typed: str
    part: Decimal
    wrong: str = ""


def pieces_entered(values: Mapping[str, str], ticked: Iterable[str]) -> tuple[dict[int, PieceEntry], list[Problem]]:
    """The pieces ticked on the form, each with its part of the rug.

    Args:
        values: the form's values, ``share-12`` being the part of piece 12.
        ticked: the values of the ticked boxes.

    Returns:
        entries by the number of the piece, and the problems of what could not be read.
    """
    entries: dict[int, PieceEntry] = {}
    problems: list[Problem] = []
    words = words_now()
    for text in ticked:
        if not text.isascii() or not text.isdigit() or len(text) > 18:
            continue
        number, typed, wrong = int(text), values.get(f"share-{text}", "")[:60], ""
        try:
            part = _part(typed, words.decimal_mark)
        except Unreadable as error:
            part, wrong = Decimal(1), " ".join(problem_sentences(error.problems, words))
            problems.extend(problem.at("cloth") for problem in error.problems)
        entries[number] = PieceEntry(number, typed, part, wrong)
    if len(entries) > MOST_CHOSEN:
        problems.append(Problem("cloth.many", "cloth", {"most": MOST_CHOSEN}))
    return entries, problems


def _part(typed: str, decimal_mark: str) -> Decimal:
    """A part of the rug; nothing typed is one part."""
    if not typed.strip():
        return Decimal(1)
    part = parse_number(typed, decimal_mark=decimal_mark)
    if not SMALLEST_PART <= part <= MOST_SHARE:
        values = {"text": typed.strip()[:24], "least": SMALLEST_PART, "most": MOST_SHARE}
        raise Unreadable(Problem("number.range", values=values))
    return part


def fill(form: QuoteForm, chosen: Chosen, room: Workroom) -> None:
    """Put choices into the form, as they are shown when a quote is begun or opened again."""
    words = words_now()
    form.width.data, form.length.data = chosen.width, chosen.length
    form.rugs_on_warp.data, form.repeats.data = chosen.rugs_on_warp, chosen.repeats
    form.stripes.fill(chosen.stripes)
    form.strip.data = chosen.strip
    form.tool.data, form.way.data, form.joins.data = chosen.tool.value, chosen.way.value, chosen.joins.value
    if chosen.rows_per_inch is not None:
        per_inch = chosen.rows_per_inch
        form.rows_counted.data = per_inch if words.units == "imperial" else round(per_inch / INCH_IN_CM, 6)
    new = chosen.new_cloth or NewCloth()
    form.new_cloth.data = chosen.new_cloth is not None
    form.new_kind.data, form.new_colour.data = new.kind.value, new.colour
    form.new_fibre.data = "" if new.fibre is Fibre.UNKNOWN else new.fibre.value
    form.new_width.data, form.new_length.data = new.width, new.length
    form.new_paid.data, form.new_share.data = new.paid, new.share
    for step, minutes in chosen.minutes:
        form[f"minutes_{step}"].data = minutes
    form.price_by.data = chosen.price_by.value if chosen.price_by else ""
    form.share.data, form.area_rate.data, form.set_price.data = chosen.share, chosen.area_rate, chosen.set_price
    form.discount.data = chosen.discount
    usual = {"postage": room.rates.postage, "label": room.rates.label, "mat": room.rates.mat}
    bought = dict(chosen.bought_in) if chosen.bought_in is not None else usual
    form.postage.data, form.label.data, form.mat.data = bought.get("postage"), bought.get("label"), bought.get("mat")


def chosen_of(form: QuoteForm, entries: Mapping[int, PieceEntry], loom_id: int) -> Chosen:
    """The choices that a form without mistakes means.

    Raises:
        Unreadable: when neither a customary size is chosen nor both sides are written.
    """
    words = words_now()
    width, length = _size(form)
    counted = form.rows_counted.data
    if counted is not None and words.units == "metric":
        counted = counted * INCH_IN_CM
    whole = tuple(
        (step, field.data) for step, field in zip(STEPS, form.minutes, strict=True) if field.data is not None
    )
    bought = tuple((name, form[name].data) for name in ("postage", "label", "mat") if form[name].data is not None)
    return Chosen(
        width=width,
        length=length,
        loom_id=loom_id,
        rugs_on_warp=form.rugs_on_warp.data or 1,
        strip=form.strip.data,
        tool=Tool(form.tool.data),
        way=Way(form.way.data),
        joins=Join(form.joins.data),
        pieces=_pieces(form, entries),
        new_cloth=_new_cloth(form) if form.new_cloth.data else None,
        repeats=form.repeats.data or 1,
        stripes=form.stripes.chosen(),
        rows_per_inch=Decimal(counted) if counted is not None else None,
        minutes=whole,
        price_by=PriceBy(form.price_by.data) if form.price_by.data else None,
        share=form.share.data,
        area_rate=form.area_rate.data,
        set_price=form.set_price.data,
        discount=form.discount.data,
        bought_in=bought,
    )


def as_filled(planned: Planned) -> Chosen:
    """The choices that the form means when it comes back as it was filled: what a quote has, and no more."""
    form = QuoteForm(formdata=None)
    fill(form, planned.chosen, planned.room)
    entries = {number: PieceEntry(number, "", part) for number, part in planned.chosen.pieces}
    return chosen_of(form, entries, planned.loom_id)


def _pieces(form: QuoteForm, entries: Mapping[int, PieceEntry]) -> tuple[tuple[int, Decimal], ...]:
    """The pieces ticked, and those that a stripe names beside them: a stripe is as good as a tick."""
    named = sorted(form.stripes.numbers() - entries.keys())
    return (*((entry.number, entry.part) for entry in entries.values()), *((number, Decimal(1)) for number in named))


def _size(form: QuoteForm) -> tuple[Length, Length]:
    if form.width.data and form.length.data:
        return form.width.data, form.length.data
    if form.size.data and not form.width.data and not form.length.data:
        size = CUSTOMARY_SIZES[words_now().units][int(form.size.data)]
        return size.width, size.length
    raise Unreadable(
        *(
            Problem("length.missing", f"rug.{side}")
            for side, value in (("width", form.width.data), ("length", form.length.data))
            if not value
        )
    )


def _new_cloth(form: QuoteForm) -> NewCloth:
    usual = NewCloth()
    return NewCloth(
        kind=ClothKind(form.new_kind.data),
        fibre=Fibre(form.new_fibre.data or Fibre.UNKNOWN.value),
        colour=form.new_colour.data or usual.colour,
        width=form.new_width.data or usual.width,
        length=form.new_length.data or usual.length,
        paid=form.new_paid.data,
        share=Decimal(form.new_share.data or 1),
    )
