"""The page on which a rug off the loom is measured and weighed, beside what was planned."""

from __future__ import annotations

from dataclasses import dataclass

from flask import Blueprint, Response, redirect, request, url_for

from shop.core.errors import Refusal
from shop.core.loom import Size
from shop.usecases import measuring
from shop.usecases.measuring import SMALLEST, JobMeasures, Measured
from shop.web.asked import number_of
from shop.web.cloth_shown import NOTHING
from shop.web.fields import LengthField, SavingField, WeightField
from shop.web.forms import PressForm, ShopForm, pressed
from shop.web.job import JobRow, job_row
from shop.web.pages import page, show
from shop.web.record_shown import MeasuresShown, measures_shown
from shop.web.shell import moment, store_now, tell, words_now
from shop.words import mark

room = Blueprint("measuring", __name__, url_prefix="/jobs/<int:number>/measures")


class MeasureForm(ShopForm):
    """What a rug measures and weighs."""

    width = LengthField(mark("Width"), least=SMALLEST, where="width")
    length = LengthField(mark("Length"), least=SMALLEST, where="length")
    weight = WeightField(mark("Weight"), needed=False, where="weight")
    saving = SavingField()


@dataclass(frozen=True, slots=True)
class MeasuringRow:
    """A time that a rug was measured."""

    id: int
    when: str
    size: str
    weight: str
    struck: bool
    counts: bool


@page("job/measures.html")
class MeasuresPage:
    """What a rug measures and weighs."""

    job: JobRow
    measures: MeasuresShown
    rows: tuple[MeasuringRow, ...]
    can_be_measured: bool
    form: MeasureForm
    act: PressForm


@room.get("")
def show_measures(number: int) -> Response:
    """What a rug measures and weighs."""
    found = measuring.measures(store_now(), job=number)
    measured = found.measures.measured
    given = {"width": measured.size.width, "length": measured.size.length, "weight": measured.weight} if measured else {}
    return _measures(found, MeasureForm(formdata=None, data=given))


def _measures(found: JobMeasures, form: MeasureForm, *, status: int = 200) -> Response:
    words = words_now()
    context = MeasuresPage(
        job=job_row(found.line),
        measures=measures_shown(found.measures),
        rows=tuple(
            MeasuringRow(
                one.id,
                words.datetime(one.at),
                words.size(one.measured.size),
                words.weight(one.measured.weight) if one.measured.weight else NOTHING,
                one.struck,
                one.counts,
            )
            for one in found.measures.lines
        ),
        can_be_measured=found.can_be_measured,
        form=form,
        act=PressForm(formdata=None),
    )
    return show(context, status=status)


@room.post("")
def measure(number: int) -> Response:
    """Write down what it measures."""
    form = MeasureForm()
    if form.validate():
        try:
            measuring.measure(
                store_now(),
                job=number,
                measured=Measured(Size(form.width.data, form.length.data), form.weight.data),
                saving=form.saving.data,
                now=moment(),
            )
        except Refusal as refusal:
            if any(problem.code == "job.unknown" for problem in refusal.problems):
                raise
            form.refuse(refusal)
        else:
            tell(mark("Written down."))
            return _back(number)
    return _measures(measuring.measures(store_now(), job=number), form, status=422)


@room.post("/struck")
def strike(number: int) -> Response:
    """It was a mistake."""
    entry = number_of(request.form.get("entry", "")) or 0
    measuring.strike(store_now(), job=number, measure=entry, saving=pressed(), now=moment())
    tell(mark("Struck out. It stays in the record."))
    return _back(number)


def _back(number: int) -> Response:
    return redirect(url_for("measuring.show_measures", number=number), 303)  # type: ignore[return-value]
