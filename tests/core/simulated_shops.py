"""Shops whose truths are known, and are unlike the starting guesses: sixty rugs each, told of before they are woven.

A truth is drawn for each number of the trade: where the loom lies, how unlike kinds, cloths and rugs are. The shop knows none
of it. Of each rug it says middle, low and high from the rugs before it; then the rug is woven and its records join the rest.
An oracle does the same, who knows how unlike looms, kinds, cloths and rugs are in that shop, and which records are gross.

``python -m tests.load learning`` prints the figures.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from datetime import date, timedelta

import numpy as np

from shop.core.cloth import USUAL_WEIGHT, ClothKind
from shop.core.evidence import Evidence, Grade, Guess, What
from shop.core.weft import solid_section_mm2

FIRST = date(2024, 1, 8)
DAYS_APART = 6
RUGS = 60
SPAN = {
    What.PACKING: ((0.35, 0.15), (0.03, 0.20), (0.02, 0.10), (0.03, 0.15)),
    What.TAKE_UP: ((0.25, 0.10), (0.02, 0.10), (0.01, 0.08), (0.02, 0.12)),
    What.WASTE: ((0.05, 0.03), (0.005, 0.04), (0.005, 0.03), (0.01, 0.06)),
    What.ROW: ((0.40, 0.20), (0.02, 0.15), (0.01, 0.10), (0.04, 0.20)),
    What.CUT: ((0.40, 0.20), (0.05, 0.25), (0.02, 0.12), (0.05, 0.25)),
    What.WARP: ((0.40, 0.20), (0, 0), (0, 0), (0.05, 0.20)),
    What.FINISH: ((0.40, 0.20), (0, 0), (0, 0), (0.05, 0.25)),
}
"""For each number, as log standard deviations: how far a shop and a loom may lie off the guess, evenly and normally; from where
to where kinds, cloths and rugs of a shop may stray, each evenly on the logarithm."""
GUESSES = {
    "frame": {
        What.PACKING: Guess(6.5), What.TAKE_UP: Guess(2.0), What.WASTE: Guess(0.05), What.ROW: Guess(0.3, 2.0),
        What.CUT: Guess(0.35), What.WARP: Guess(15.0, 0.6), What.FINISH: Guess(10.0, 15.0),
    },
    "shaft": {
        What.PACKING: Guess(2.6), What.TAKE_UP: Guess(1.12), What.WASTE: Guess(0.05), What.ROW: Guess(0.15, 0.3),
        What.CUT: Guess(0.35), What.WARP: Guess(45.0, 1.2), What.FINISH: Guess(10.0, 15.0),
    },
}  # fmt: skip
KINDS = [ClothKind.SHEETING, ClothKind.DENIM, ClothKind.CORDUROY, ClothKind.JERSEY, ClothKind.FLANNEL]
OFTEN = [0.40, 0.22, 0.16, 0.12, 0.10]
SIZES = [(0.50, 0.76), (0.60, 0.90), (0.68, 1.15), (0.76, 1.20), (0.90, 1.50), (0.60, 1.80), (0.76, 2.40)]
CUTTER = "rotary"


@dataclass(frozen=True, slots=True)
class Truth:
    """How unlike the looms, kinds, cloths and rugs of one shop are in one number (log standard deviations)."""

    loom: float
    kind: float
    cloth: float
    rug: float


@dataclass
class Rug:
    """One rug: what is known of it beforehand, and what it comes to.

    Attributes:
        outcome: logarithm over the starting guess, of each number.
        centre: the same without what is the rug's own: what could be known at best.
        gross: numbers whose record is gross; ``written`` has what was written down for them.
    """

    loom: str
    kind: str
    cloth: str
    width: float
    length: float
    day: date
    outcome: dict[What, float] = field(default_factory=dict)
    centre: dict[What, float] = field(default_factory=dict)
    gross: set[What] = field(default_factory=set)
    written: dict[What, float] = field(default_factory=dict)

    def size(self, what):
        """Of the row, the warp, the edges."""
        return {What.ROW: self.width, What.WARP: round(self.width * 78), What.FINISH: 2.0}.get(what, 1.0)


@dataclass
class Shop:
    """A shop and its rugs, in the order they are woven."""

    looms: dict[str, str]
    truth: dict[What, Truth]
    rugs: list[Rug]
    quick: list[Evidence]

    @property
    def guesses(self):
        found = {(what, loom): guess for loom, kind in self.looms.items() for what, guess in GUESSES[kind].items()}
        found.update({(What.CUT, CUTTER): GUESSES["frame"][What.CUT]})
        return found


def on(what, rug):
    """Where a number stands: by the loom, for cutting by the tool."""
    return CUTTER if what is What.CUT else rug.loom


def value_of(guess, what, over):
    """Back from a logarithm over the guess."""
    return 1 - (1 - guess) * math.exp(-over) if what is What.WASTE else guess * math.exp(over)


def record(shop, rug, what, place, over, **more):
    """What the shop writes down of one number of one rug."""
    guess = shop.guesses[what, on(what, rug)].at(rug.size(what))
    cloth = {"kind": rug.kind, "cloth": rug.cloth} if what.is_of_cloth else {}
    value = value_of(guess, what, over)
    if what is What.WASTE:
        value = min(max(value, -0.4), 0.94)
    given = {"day": rug.day, "source": f"job {place}", **cloth, **more}
    return Evidence(what=what, on=on(what, rug), size=rug.size(what), value=value, **given)


def a_shop(seed, number, *, gross=0.0, drift=0.0, rugs=RUGS):
    """One simulated shop.

    Args:
        seed: of the chance; ``number`` of the shop.
        gross: the share of records that are wrong by a factor of two to ten, up or down.
        drift: how far the weaver's pace wanders between two rugs (log standard deviation), for all steps alike.
        rugs: how many.
    """
    chance = np.random.default_rng([seed, number])
    kinds = {"big": "frame" if number % 2 else "shaft"}
    if number % 3 == 0:
        kinds["small"] = "shaft" if number % 2 else "frame"
    truth, loom_at, kind_at, cloth_at = {}, {}, {}, {}
    for what, (far, kind, cloth, rug) in SPAN.items():
        strays = [math.exp(chance.uniform(*np.log(ends))) if ends[0] else 0.0 for ends in (kind, cloth, rug)]
        truth[what] = Truth(math.hypot(far[0] / math.sqrt(3), far[1]), *strays)
        bias = chance.uniform(-far[0], far[0])
        for loom in [*kinds, CUTTER]:
            loom_at[what, loom] = (bias + chance.normal(0, far[1]), bias + chance.normal(0, far[1]))
    shop = Shop(kinds, truth, [], [])
    wander = 0.0
    cloths = {}
    for place in range(rugs):
        kind = str(chance.choice([each.value for each in KINDS], p=OFTEN))
        known = cloths.setdefault(kind, [])
        if not known or chance.random() < 0.4:
            known.append(f"{kind} {len(known) + 1}")
        cloth = known[-1] if chance.random() < 0.7 else known[chance.integers(len(known))]
        loom = "small" if "small" in kinds and chance.random() < 0.35 else "big"
        width, length = SIZES[chance.integers(len(SIZES))]
        rug = Rug(loom, kind, cloth, width, length, FIRST + timedelta(days=DAYS_APART * place))
        wander += chance.normal(0, drift) if drift else 0.0
        for what in SPAN:
            _weave(shop, rug, what, chance, (loom_at, kind_at, cloth_at), wander if what.is_pace else 0.0)
            if gross and chance.random() < gross:
                rug.gross.add(what)
        shop.rugs.append(rug)
        if chance.random() < 0.3:
            shop.quick.append(_counted(shop, rug, place, chance))
    return shop


def _weave(shop, rug, what, chance, at, wander):
    truth, (loom_at, kind_at, cloth_at) = shop.truth[what], at
    guess, size = shop.guesses[what, on(what, rug)], rug.size(what)
    p, q = loom_at[what, on(what, rug)]
    where = (what, on(what, rug), rug.kind) if what.is_of_cloth else what
    if where not in kind_at:
        kind_at[where] = chance.normal(0, truth.kind)
    cloth = (where, rug.cloth)
    if cloth not in cloth_at:
        cloth_at[cloth] = chance.normal(0, truth.cloth)
    line = math.log((guess.fixed * math.exp(p) + guess.growing * size * math.exp(q)) / guess.at(size))
    rug.centre[what] = line + kind_at[where] + cloth_at[cloth] + wander
    rug.outcome[what] = rug.centre[what] + chance.normal(0, truth.rug)


def _counted(shop, rug, place, chance):
    """A counted inch of that cloth before the rug: strays about twice as far as a rug does, in truth 1.5 to 2.5 times."""
    stray = shop.truth[What.PACKING].rug * chance.uniform(1.5, 2.5)
    over = rug.centre[What.PACKING] + chance.normal(0, stray)
    return record(shop, rug, What.PACKING, place, over, grade=Grade.QUICK, source=f"inch {place}")


def records_of(shop, place, chance):
    """What the shop writes down when a rug is done; gross where it is."""
    rug = shop.rugs[place]
    found = []
    for what in SPAN:
        over = rug.outcome[what]
        if what in rug.gross:
            off = math.log(chance.uniform(2, 10)) * (1 if chance.random() < 0.5 else -1)
            over += off * (0.3 if what is What.WASTE else 1)
            rug.written[what] = over
        found.append(record(shop, rug, what, place, over))
    return found


def recorded(rug):
    """What a rug's records say, gross where they are."""
    return rug.outcome | rug.written


def cloth_of(rug):
    """The rug's length in millimetres, and the root of the section of its strip in millimetres (inch and a half wide, cotton)."""
    grams = USUAL_WEIGHT[ClothKind(rug.kind)]
    return rug.length * 1000, math.sqrt(solid_section_mm2(38.1, grams, 1.54))


def hours_and_strip(shop, rug, over):
    """Strip to cut in metres and minutes of a rug, from logarithms over the starting guesses."""
    is_ = {
        what: value_of(shop.guesses[what, on(what, rug)].at(rug.size(what)), what, over[what]) for what in SPAN
    }
    length, section = cloth_of(rug)
    rows = length / (is_[What.PACKING] * section)
    strip = rows * rug.width * is_[What.TAKE_UP] / (1 - is_[What.WASTE])
    return strip, strip * is_[What.CUT] + rows * is_[What.ROW] + is_[What.WARP] + is_[What.FINISH]


def oracle(shop, place, what, *, drift=0.0):
    """Middle of a rug (logarithm over the guess) by the right model: exact, with every variance known, and nothing gross.

    Quick measurements are left out. With a drift the wandering pace is a random walk of known step.
    """
    now, truth = shop.rugs[place], shop.truth[what]
    here = [i for i in range(place) if on(what, shop.rugs[i]) == on(what, now) and what not in shop.rugs[i].gross]
    far, guess = SPAN[what][0], shop.guesses[what, on(what, now)]
    bias, own = far[0] ** 2 / 3, far[1] ** 2
    both = [*here, place]
    rugs = [shop.rugs[i] for i in both]
    part = np.array([guess.fixed / guess.at(rug.size(what)) for rug in rugs])
    together = np.full((len(both), len(both)), bias) + own * (np.outer(part, part) + np.outer(1 - part, 1 - part))
    if what.is_of_cloth:
        kinds, cloths = np.array([rug.kind for rug in rugs]), np.array([rug.cloth for rug in rugs])
        together += truth.kind**2 * (kinds[:, None] == kinds) + truth.cloth**2 * (cloths[:, None] == cloths)
    if drift and what.is_pace:
        order = np.array(both) + 1.0
        together += drift**2 * np.minimum(order[:, None], order)
    if not here:
        return 0.0
    seen = np.array([shop.rugs[i].outcome[what] for i in here])
    inner = together[:-1, :-1] + truth.rug**2 * np.eye(len(here))
    return float(together[-1, :-1] @ np.linalg.solve(inner, seen))
