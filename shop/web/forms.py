"""The base of every form: CSRF, problems beside their fields, and a summary of them at its head."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from flask_wtf import FlaskForm
from wtforms import Field, FieldList, FormField

from shop.core.errors import Problem, Refusal
from shop.web.shell import words_now
from shop.words.problems import problem_sentence


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
        by_where = {field.where: field for field in self.every_field() if hasattr(field, "where")}
        for problem in problems:
            sentence = problem_sentence(problem, words_now())
            field = by_where.get(problem.where)
            if field is None:
                if sentence not in self.loose:
                    self.loose.append(sentence)
            elif sentence not in field.errors:
                field.errors = [*field.errors, sentence]

    def mistakes(self) -> list[Mistake]:
        """Every problem of the form, in the order of its fields."""
        found = [Mistake("", "", sentence) for sentence in self.loose]
        for field in self.every_field():
            if field.errors:
                label = words_now().say(field.label.text) if field.label.text else ""
                found += [Mistake(field.id, label, sentence) for sentence in field.errors]
        return found


def _leaves(form: Any) -> Iterator[Field]:
    for field in form:
        if isinstance(field, FormField | FieldList):
            yield from _leaves(field)
        else:
            yield field
