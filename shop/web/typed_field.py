"""What every entry field of ours is: it keeps what was typed, and ends in a value of the core or in problems.

It says in the shop's language what would have been understood. ``where`` is the dotted path by which a
refusal from a use case finds the field again; by default its name, with dots for dashes. A page may say what the
starting guess would be (``guess``, in words), and where the value shown comes from (``basis``: ``measured``,
``setting`` or ``guess``).
"""

from __future__ import annotations

from typing import Any

from wtforms import Field
from wtforms.widgets import TextInput

from shop.core.errors import Problem, Refusal
from shop.web.shell import words_now
from shop.words.problems import problem_sentences

MISSING = {
    kind: f"{kind}.missing" for kind in ("length", "weight", "money", "number", "share", "date", "choice")
}
"""The code of the problem of an empty field, by its kind; of any other kind, ``text.missing``."""


class TypedField(Field):
    """A field that reads one kind of value. Its kinds override ``read`` and ``written``."""

    widget = TextInput()
    kind = "text"
    entry = "text"
    inputmode = ""
    data: Any

    def __init__(
        self,
        label: str = "",
        *,
        hint: str = "",
        needed: bool = True,
        where: str = "",
        auto: str = "",
        **kwargs: Any,
    ) -> None:
        """See the class.

        Args:
            label: what it is, as a marked msgid.
            hint: how to fill it in, as a marked msgid.
            needed: whether it must be filled in.
            where: its dotted path; by default from its name.
            auto: the HTML ``autocomplete`` word.
            kwargs: as for any WTForms field.
        """
        super().__init__(label, description=hint, **kwargs)
        self.needed = needed
        self.where = where or self.name.replace("-", ".")
        self.auto = auto
        self.problems: list[Problem] = []
        self.guess = ""
        self.basis = ""

    def read(self, text: str) -> Any:
        """The value that the text says; raises ``Refusal``."""
        return text

    def written(self, value: Any) -> str:
        """The text that says the value."""
        return words_now().written(value)

    def process_formdata(self, valuelist: list[str]) -> None:
        """Read what was typed; what cannot be read becomes problems."""
        self.problems = []
        self.data = None
        text = str(valuelist[0]) if valuelist else ""
        if not text.strip():
            if self.needed:
                self.problems = [Problem(MISSING.get(self.kind, "text.missing"), self.where)]
            return
        try:
            self.data = self.read(text)
        except Refusal as refusal:
            self.problems = [problem.at(self.where) for problem in refusal.problems]

    def _value(self) -> str:
        if self.raw_data:
            return str(self.raw_data[0])
        return "" if self.data is None else self.written(self.data)

    def validate(self, form: object, extra_validators: object = ()) -> bool:  # noqa: ARG002 - WTForms' form of it
        """Whether it could be read; its errors are sentences."""
        if not self.needed and not any(str(text).strip() for text in self.raw_data or ()):
            self.problems = []  # a form may find only after reading that it does not need the field
        self.errors = problem_sentences(self.problems, words_now())
        return not self.errors
