"""Entry fields for choosing: one of several, yes or no; and what a form brings along unseen: its token, its revision."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

from wtforms import BooleanField, HiddenField

from shop.core.errors import Problem, Unreadable
from shop.usecases.given import fresh_token, is_token
from shop.web.shell import words_now
from shop.web.typed_field import TypedField
from shop.words.problems import problem_sentences

_REVISION = re.compile(r"[0-9]{1,9}")


class ChoiceField(TypedField):
    """One of several. The choices are (value, marked label) pairs, or a function that gives them."""

    kind = "choice"
    entry = "choice"

    def __init__(
        self,
        label: str = "",
        *,
        choices: Callable[[], list[tuple[str, str]]]
        | list[tuple[str, str]]
        | tuple[tuple[str, str], ...] = (),
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


class UnseenField(HiddenField):
    """What a form brings along unseen; damaged on the way, it is told and not guessed at."""

    def __init__(self, label: str = "", **kwargs: Any) -> None:
        """As for any hidden field."""
        super().__init__(label, **kwargs)
        self.problems: list[Problem] = []

    def validate(self, form: object, extra_validators: object = ()) -> bool:  # noqa: ARG002 - WTForms' form of it
        """Whether it came as it was sent; its errors are sentences."""
        self.errors = problem_sentences(self.problems, words_now())
        return not self.errors


class SavingField(UnseenField):
    """A token made with the page, so that pressing twice is one act."""

    def process(self, formdata: Any, data: Any = None, extra_filters: Any = None) -> None:
        """What came back with the form; a new one for a new page, or in the place of one that is no token."""
        super().process(formdata, data or fresh_token(), extra_filters)
        came = "" if formdata is None else (self.raw_data or [""])[0]
        if formdata is not None and not is_token(came):
            self.problems = [Problem("saving.token")]
            self.renew()

    def renew(self) -> None:
        """Take a new token: the next press is an act of its own."""
        self.data, self.raw_data = fresh_token(), None


class RevisionField(UnseenField):
    """Which revision the page was made from, so that nobody else's change is overwritten; 0 for something new."""

    def process_formdata(self, valuelist: list[str]) -> None:
        """The number, if it is one."""
        self.data = 0
        if valuelist and _REVISION.fullmatch(valuelist[0]):
            self.data = int(valuelist[0])
        elif valuelist:
            self.problems = [Problem("saving.revision")]

    def move_on(self) -> None:
        """Go by the revision that an earlier press of the same form has made."""
        self.data, self.raw_data = (self.data or 0) + 1, None
