"""Entry fields for choosing: one of several, yes or no, and the token that makes two presses one act."""

from __future__ import annotations

import secrets
from collections.abc import Callable
from typing import Any

from wtforms import BooleanField, HiddenField

from shop.core.errors import Problem, Unreadable
from shop.web.shell import words_now
from shop.web.typed_field import TypedField


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


class SavingField(HiddenField):
    """A token made with the page, so that pressing twice is one act."""

    def process(self, formdata: Any, data: Any = None, extra_filters: Any = None) -> None:
        """What came back with the form; else a new one."""
        super().process(formdata, data or secrets.token_urlsafe(16), extra_filters)
        if not self.data or len(self.data) > 64:
            self.data = secrets.token_urlsafe(16)
