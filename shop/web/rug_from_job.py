"""The page on which a job's rug, that nobody planned, is measured before it becomes one for sale; and the press itself."""

from __future__ import annotations

from flask import Blueprint, Response, redirect, url_for

from shop.core.errors import Refusal
from shop.core.loom import Size
from shop.usecases import job as jobs
from shop.usecases import rug_content, rug_from_job
from shop.web.content_words import content_and_care
from shop.web.fields import LengthField, MoneyField, SavingField
from shop.web.forms import ShopForm
from shop.web.job import JobRow, job_row
from shop.web.pages import page, show
from shop.web.shell import moment, store_now, tell, words_now
from shop.words import mark

room = Blueprint("rug_from_job", __name__, url_prefix="/jobs/<int:number>/rug")

BESIDE = frozenset({"rug.width", "rug.length", "rug.price"})
"""Problems at these stand beside their fields; of any other there is nothing to mend here."""


class MeasuredForm(ShopForm):
    """A rug off the loom, measured."""

    width = LengthField(mark("Width"), needed=False, where="rug.width")
    length = LengthField(mark("Length"), needed=False, where="rug.length")
    price = MoneyField(mark("Price"), needed=False, where="rug.price")
    saving = SavingField()


@page("rug/from_job.html")
class FromJobPage:
    """A job whose rug becomes one for sale; ``size`` where that is known, ``measured`` off the loom or as planned."""

    job: JobRow
    form: MeasuredForm
    size: str
    measured: bool


@room.get("")
def show_form(number: int) -> Response:
    """The rug, to be measured."""
    found = rug_from_job.offered(store_now(), job=number)
    if found.rug is not None:
        return redirect(url_for("rug.show_rug", number=found.rug), 303)  # type: ignore[return-value]
    given = {"width": found.size.width, "length": found.size.length} if found.size else {}
    return _page(number, MeasuredForm(formdata=None, data=given))


@room.post("")
def make(number: int) -> Response:
    """It becomes a rug for sale."""
    form = MeasuredForm()
    if form.validate():
        width, length = form.width.data, form.length.data
        content = content_and_care(rug_content.content_of(store_now(), job=number), words_now())
        try:
            card = rug_from_job.make(
                store_now(),
                job=number,
                size=Size(width, length) if width and length else None,
                content=content,
                price=form.price.data,
                saving=form.saving.data,
                now=moment(),
            )
        except Refusal as refusal:
            if any(problem.where not in BESIDE and problem.code != "saving.other" for problem in refusal.problems):
                raise
            form.refuse(refusal)
        else:
            tell(mark("The rug of job %(job)s is rug %(number)s now."), job=str(number), number=str(card.number))
            return redirect(url_for("rug.show_rug", number=card.number), 303)  # type: ignore[return-value]
    return _page(number, form, status=422)


def _page(number: int, form: MeasuredForm, *, status: int = 200) -> Response:
    found = rug_from_job.offered(store_now(), job=number)
    context = FromJobPage(
        job=job_row(jobs.job(store_now(), number=number).line),
        form=form,
        size=words_now().size(found.size) if found.size else "",
        measured=found.measured,
    )
    return show(context, status=status)
