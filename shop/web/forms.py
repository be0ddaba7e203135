"""The base of every form: CSRF, problems beside their fields, and a summary of them at its head."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from flask_wtf import FlaskForm
from wtforms import Field, FieldList, FormField, HiddenField

from shop.core.errors import Problem, Refusal
from shop.web.fields import RevisionField, SavingField
from shop.web.shell import words_now
from shop.words.problems import problem_sentence


class RowList(FieldList):
    """Rows of a form, each called by its number; what is called by anything else is no row."""

    def _extract_indices(self, prefix: str, formdata: Any) -> Iterator[int]:
        named = re.compile(re.escape(prefix) + r"-([0-9]{1,4})(?:-|$)")
        return (int(found[1]) for found in map(named.match, formdata) if found)


@dataclass(frozen=True)
class Mistake:
    """A line of the summary: which field (an HTML id, or none for the whole form), its label, what is wrong."""

    id: str
    label: str
    sentence: str


class ShopForm(FlaskForm):
    """A form of the shop's. Its fields come from ``shop.web.fields``."""

    class Meta(FlaskForm.Meta):
        """The built-in sentences of the form library are never shown."""

        locales = False

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        """As for any form; ``loose`` gathers the sentences that belong to no field."""
        super().__init__(*args, **kwargs)
        self.loose: list[str] = []

    def every_field(self) -> Iterator[Field]:
        """All fields that are typed in, also those of forms within the form."""
        yield from _leaves(self)

    def refuse(self, refusal: Refusal | Problem) -> None:
        """Put each problem beside the field of its path; the rest to the head of the form."""
        problems = (refusal,) if isinstance(refusal, Problem) else refusal.problems
        if any(problem.code == "saving.other" for problem in problems):
            self._begin_again()
        by_where = {field.where: field for field in self.every_field() if hasattr(field, "where")}
        for problem in problems:
            sentence = problem_sentence(problem, words_now())
            field = by_where.get(problem.where)
            if field is None:
                if sentence not in self.loose:
                    self.loose.append(sentence)
            elif sentence not in field.errors:
                field.errors = [*field.errors, sentence]

    def _begin_again(self) -> None:
        """Make the next press an act of its own, on top of what an earlier press of this form has saved."""
        for field in self:
            if isinstance(field, SavingField):
                field.renew()
            elif isinstance(field, RevisionField):
                field.move_on()

    def mistakes(self) -> list[Mistake]:
        """Every problem of the form, in the order of its fields."""
        found = [Mistake("", "", sentence) for sentence in self.loose]
        for field in self.every_field():
            found += mistakes_of(field)
        return found


def mistakes_of(field: Field, label: str = "") -> list[Mistake]:
    """What is wrong with a field; of one that is not seen there is nowhere to go to.

    Args:
        field: of a form.
        label: what it is called here, where not by its own label.
    """
    if isinstance(field, HiddenField):
        return [Mistake("", "", sentence) for sentence in field.errors]
    named = label or (words_now().say(field.label.text) if field.label.text else "")
    return [Mistake(field.id, named, sentence) for sentence in field.errors]


def _leaves(form: Any) -> Iterator[Field]:
    for field in form:
        if isinstance(field, FormField | FieldList):
            yield from _leaves(field)
        else:
            yield field


class PressForm(ShopForm):
    """A button that does one thing."""

    saving = SavingField()


def pressed(form: ShopForm | None = None) -> str:
    """The token of a form in which nothing has to be typed, such as a button's.

    Raises:
        Refusal: ``saving.token`` when it came damaged; whatever else is wrong with it.
    """
    saving = (PressForm() if form is None else form)["saving"]
    if saving.problems:
        raise Refusal(*saving.problems)
    return str(saving.data)
