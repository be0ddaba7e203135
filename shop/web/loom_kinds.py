"""The forms for looms: one for each kind, with only that kind's fields, ending in a ``LoomGiven``."""

from __future__ import annotations

from decimal import Decimal
from typing import Any, Final

from shop.core.loom import MOST_PEGS, FrameLoom, Loom, PlankLoom, Sett, ShaftLoom, usual_loom
from shop.usecases.loom import LARGEST_SHARE, LoomCard, LoomGiven
from shop.web.fields import ChoiceField, LengthField, NumberField, ShareField
from shop.web.loom_form import NOTHING, LoomForm, PlacesField, YarnForm, as_typed
from shop.web.shell import words_now
from shop.words import mark

PER: Final = (("in", mark("to the inch")), ("cm", mark("to the centimetre")))


class FrameForm(LoomForm):
    """A frame with pegs."""

    pegs = NumberField(mark("Pegs on each end"), whole=True, least=1, most=MOST_PEGS, where="loom.pegs")
    spacing = LengthField(mark("From one peg to the next"), where="loom.spacing", hint=mark("Middle to middle."))
    length = LengthField(
        mark("From peg to peg, end to end"), where="loom.length", hint=mark("Which is the length of the rug.")
    )
    bar_places = PlacesField(
        mark("Other lengths"), needed=False, where="loom.bar_places",
        hint=mark("If an end bar can be moved: each of its lengths, one a line."),
    )  # fmt: skip
    passes_per_peg = NumberField(
        mark("Strips that each peg carries"), whole=True, least=1, most=10, where="loom.passes_per_peg"
    )
    turn = LengthField(mark("Strip spent going round a peg"), least=NOTHING, where="loom.turn")
    tail = LengthField(mark("Strip left at each end to tie in"), least=NOTHING, where="loom.tail")
    of_loom = ("name", "pegs", "spacing", "length", "bar_places", "passes_per_peg", "turn", "tail")
    guessed = ("passes_per_peg", "turn", "tail")

    def loom(self) -> Loom:
        """The frame."""
        own = {key: self[key].data for key in self.of_loom}
        return FrameLoom(**{**own, "bar_places": self.bar_places.data or ()})


class ShaftForm(YarnForm):
    """A shaft loom or rigid heddle loom."""

    sett = NumberField(
        mark("Sett: ends in the reed"), least=Decimal("0.1"), most=100, where="loom.sett",
        hint=mark("Ends, not dents, where you sley more than one to a dent."),
    )  # fmt: skip
    sett_unit = ChoiceField(mark("counted"), choices=PER, where="loom.sett_unit")
    width = LengthField(mark("Widest in the reed"), where="loom.width")
    draw_in = ShareField(
        mark("Draw-in"), most=LARGEST_SHARE, where="loom.draw_in", hint=mark("How much narrower than in the reed; none with a temple.")
    )
    take_up = ShareField(
        mark("Warp take-up"), most=LARGEST_SHARE, where="loom.take_up", hint=mark("What bending over and under the weft takes of the warp.")
    )
    relaxation = ShareField(
        mark("Relaxation"), most=LARGEST_SHARE, where="loom.relaxation", hint=mark("How much shorter off tension.")
    )
    waste = LengthField(
        mark("Loom waste"), least=NOTHING, where="loom.waste", hint=mark("Warp that cannot be woven, both ends together.")
    )
    selvedge_ends = NumberField(
        mark("Extra ends at the edges"), whole=True, most=100, where="loom.selvedge_ends", hint=mark("Both edges together.")
    )
    hem = LengthField(
        mark("Hem or fringe, each end"), least=NOTHING, where="loom.hem", hint=mark("Woven or left at each end of a rug.")
    )
    cut_space = LengthField(mark("Left between two rugs"), least=NOTHING, where="loom.cut_space")
    guessed = ("draw_in", "take_up", "relaxation", "waste", "selvedge_ends", "hem", "cut_space")
    of_loom = ("name", "width", *guessed)

    def loom(self) -> Loom:
        """The shaft loom."""
        own: dict[str, Any] = {key: self[key].data for key in self.of_loom}
        shares = {key: float(own[key]) for key in ("draw_in", "take_up", "relaxation")}
        return ShaftLoom(**{**own, **shares}, sett=Sett(Decimal(self.sett.data), self.sett_unit.data))

    def fill(self, given: LoomGiven) -> None:
        """Show a shaft loom."""
        super().fill(given)
        for key in ("draw_in", "take_up", "relaxation"):
            self[key].data = as_typed(getattr(given.loom, key))
        if isinstance(given.loom, ShaftLoom):
            self.sett.data, self.sett_unit.data = given.loom.sett.per, given.loom.sett.unit


class PlankForm(YarnForm):
    """Pegs standing in a plank."""

    pegs = NumberField(mark("Pegs in the plank"), whole=True, least=1, most=MOST_PEGS, where="loom.pegs")
    spacing = LengthField(mark("From one peg to the next"), where="loom.spacing", hint=mark("Middle to middle."))
    knot = LengthField(mark("Yarn left at each end to knot"), least=NOTHING, where="loom.knot")
    of_loom = ("name", "pegs", "spacing", "knot")
    guessed = ("knot",)

    def loom(self) -> Loom:
        """The plank."""
        return PlankLoom(**{key: self[key].data for key in self.of_loom})


FORMS: Final[dict[str, type[LoomForm]]] = {"frame": FrameForm, "shaft": ShaftForm, "plank": PlankForm}


def usual(kind: str) -> Loom:
    """A loom of a kind, all of it a starting guess, as this shop measures."""
    return usual_loom(kind, words_now().units)


def new_form(kind: str) -> LoomForm:
    """A form for a loom that is not here yet: its own measures empty, what is usual filled in."""
    form = FORMS[kind](formdata=None)
    for key in form.guessed:
        form[key].data = as_typed(getattr(usual(kind), key))
    words = words_now()
    if isinstance(form, YarnForm):
        form.yarn_unit.data = words.bare_weight
    if isinstance(form, ShaftForm):
        form.sett_unit.data = words.bare_length
    form.tell_guesses(usual(kind), usual(kind))
    return form


def form_of(card: LoomCard) -> LoomForm:
    """The form of a loom of the shop, filled in."""
    form = FORMS[card.loom.kind](formdata=None)
    form.fill(card)
    form.revision.data = card.revision
    form.tell_guesses(usual(card.loom.kind), card.loom)
    return form


def sent_form(kind: str) -> LoomForm:
    """The form as it was sent."""
    form = FORMS[kind]()
    form.tell_guesses(usual(kind), usual(kind))
    return form
