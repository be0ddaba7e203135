"""The forms of what the rugs say: a quick measurement, a record set aside, how long the weaver's pace holds."""

from __future__ import annotations

from typing import Any, Final

from wtforms import Field, HiddenField

from shop.core.evidence import What
from shop.core.quick import ASKED, Told
from shop.usecases.learning import LONGEST, SHORTEST
from shop.usecases.quick_measure import MOST, MeasureGiven
from shop.web.choice_fields import ChoiceField
from shop.web.cloth_shown import CLOTHS
from shop.web.fields import LengthField, NumberField, RevisionField, SavingField, TextField
from shop.web.forms import ShopForm
from shop.words import mark

LABELS: Final[dict[What, dict[str, str]]] = {
    What.PACKING: {
        "count": mark("Rows counted"),
        "first": mark("They take up, under tension"),
        "second": mark("Width of the strips"),
    },
    What.TAKE_UP: {
        "first": mark("Strip that went in"),
        "count": mark("Rows that it made"),
        "second": mark("Width of a row"),
    },
    What.WASTE: {"first": mark("Strip that was lost"), "second": mark("Strip cut in all, with what was lost")},
    What.DRAW_IN: {"first": mark("Width in the reed"), "second": mark("Width off the loom")},
    What.RELAXATION: {"first": mark("Length under tension"), "second": mark("Length off the loom")},
    What.ROW: {"minutes": mark("Minutes"), "count": mark("Rows woven in them"), "second": mark("Width of a row")},
    What.CUT: {"minutes": mark("Minutes"), "first": mark("Strip cut in them")},
    What.WARP: {"minutes": mark("Minutes"), "count": mark("Ends, or passes of strip")},
    What.FINISH: {"minutes": mark("Minutes"), "count": mark("Ends of rugs finished")},
}
_STUFF: Final = {"kind": mark("Kind of cloth"), "piece": mark("Number of the piece")}


class QuickForm(ShopForm):
    """The token; each number adds the fields that it asks for."""

    saving = SavingField()

    @property
    def asked(self) -> list[Field]:
        """The fields that are typed in."""
        return [field for field in self.every_field() if field.label.text and not isinstance(field, HiddenField)]

    def given(self, what: What, on: str) -> MeasureGiven:
        """What was typed."""
        told = {name: self[name].data for name in ASKED[what]}
        return MeasureGiven(
            what=what.value,
            on=on,
            told=Told(**told),
            kind=self["kind"].data or "" if "kind" in self else "",
            piece=self["piece"].data if "piece" in self else None,
        )


def quick_form(what: What) -> type[QuickForm]:
    """The form of a quick measurement of one number."""
    fields: dict[str, Any] = {}
    for name in ASKED[what]:
        label = LABELS[what][name]
        if name in ("first", "second"):
            fields[name] = LengthField(label, where=name)
        else:
            fields[name] = NumberField(label, most=MOST, where=name)
    if what.is_of_cloth:
        fields["kind"] = ChoiceField(
            _STUFF["kind"], choices=tuple(CLOTHS.items()), blank=mark("not known"), needed=False, where="kind"
        )
        fields["piece"] = NumberField(_STUFF["piece"], whole=True, needed=False, where="piece")
    return type("QuickForm", (QuickForm,), fields)


class AsideForm(ShopForm):
    """A record to set aside, and why."""

    key = TextField(longest=120, where="key")
    reason = TextField(mark("Why"), hint=mark("For yourself, later: “the first rug on this loom”, “clock left running”."), where="reason")
    saving = SavingField()


class PaceHoldsForm(ShopForm):
    """How long the weaver's pace holds."""

    days = NumberField(
        mark("Days until a record of your pace counts half"),
        hint=mark("Left empty, old rugs count as much as new ones. Set it if you have become quicker, or slower."),
        whole=True,
        needed=False,
        least=SHORTEST,
        most=LONGEST,
        where="days",
    )
    revision = RevisionField(default=0)
    saving = SavingField()
