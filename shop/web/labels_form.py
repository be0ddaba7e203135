"""The form of the labels, as it is asked for in the page's address: which pieces, on which sheet, from which label on."""

from __future__ import annotations

from typing import Any

from flask import request, session
from werkzeug.datastructures import MultiDict

from shop.core.errors import Problem
from shop.paper.label_sheets import SHEETS, LabelSheet, offered_sheets, sheet_name, usual_sheet
from shop.usecases import labels
from shop.web.fields import ChoiceField, NumberField, ReadField
from shop.web.forms import ShopForm
from shop.web.shell import store_now, words_now
from shop.words import mark

LONGEST_ASKED = labels.LONGEST + 1
REMEMBERED = "label_sheet"
"""The sheet that was printed on last, among what the browser keeps for us."""


def _sheets() -> list[tuple[str, str]]:
    words = words_now()
    return [(sheet.key, sheet_name(sheet, words)) for sheet in offered_sheets(words)]


class NumbersField(ReadField):
    """The numbers of pieces; left empty, it says how to write them."""

    def process_formdata(self, valuelist: list[str]) -> None:
        """Read them."""
        super().process_formdata(valuelist)
        if not (valuelist and valuelist[0].strip()):
            self.problems = [Problem("label.none", self.where)]


class LabelsForm(ShopForm):
    """Which labels to print, and on what."""

    class Meta(ShopForm.Meta):
        """Asking changes nothing."""

        csrf = False

    numbers = NumbersField(
        mark("Numbers of the pieces"),
        hint=mark("Several at once: 3-9, 12"),
        read=labels.read_numbers,
        written=labels.written_numbers,
    )
    sheet = ChoiceField(
        mark("Sheet of labels"), hint=mark("Look for these measures on the box."), choices=_sheets, named=True
    )
    begin = NumberField(
        mark("Begin at label No."),
        hint=mark("For a sheet that is used in part: count from the upper left, row by row."),
        least=1,
        most=999,
        whole=True,
    )

    @classmethod
    def asked(cls) -> LabelsForm:
        """The form as asked in the address; what is not asked is as usual."""
        sheet = request.args.get("sheet", "")[:40] or _last_sheet().key
        begin = request.args.get("begin", "")[:40].strip() or "1"
        given = {"sheet": sheet, "begin": begin, "numbers": _numbers(SHEETS.get(sheet) or _last_sheet())}
        return cls(MultiDict(given))

    @property
    def chosen(self) -> LabelSheet:
        """The sheet that was chosen; the usual one where there is no such sheet."""
        return SHEETS.get(self.sheet.data or "") or _last_sheet()

    @property
    def first(self) -> int:
        """The label to begin at."""
        return self.begin.data if not self.begin.errors and self.begin.data else 1

    def validate(self, extra_validators: Any = None) -> bool:
        """Whether everything can be read, and the sheet has such a label."""
        readable = super().validate(extra_validators)
        if not self.begin.errors and self.begin.data > self.chosen.count:
            self.refuse(Problem("number.large", "begin", {"most": self.chosen.count}))
            return False
        return readable


def _last_sheet() -> LabelSheet:
    return SHEETS.get(str(session.get(REMEMBERED, ""))) or usual_sheet(words_now())


def _numbers(sheet: LabelSheet) -> str:
    """The numbers as asked: typed, of single pieces, of a haul, of all that wait; else the newest that fill a sheet."""
    args, store = request.args, store_now()
    if "numbers" in args:
        return args["numbers"][:LONGEST_ASKED]
    if "piece" in args:
        return ", ".join(args.getlist("piece"))[:LONGEST_ASKED]
    haul = args.get("haul", "")
    if haul.isascii() and haul.isdigit() and len(haul) < 19:
        return labels.written_numbers(labels.numbers_of_haul(store, haul_id=int(haul)))
    if args.get("show") == "to-wash":
        return labels.written_numbers(labels.newest_numbers(store, shown="to wash"))
    return labels.written_numbers(labels.newest_numbers(store, most=sheet.count))
