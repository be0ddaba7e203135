"""What the shop's own rugs are worth: simulated shops whose truths are unlike the starting guesses, sixty rugs each.

How many outcomes fall inside the band that should hold eight of ten; how far the middle is off, beside an oracle who knows the
right model; how much cloth is left over and how often it is short, beside the rule of thumb and the average of past rugs; and
how long it takes to learn ten thousand jobs anew. Seeds stand here, figures in ``learning.txt`` beside it.
"""

from __future__ import annotations

import math
import os
from collections import defaultdict
from concurrent.futures import ProcessPoolExecutor
from functools import partial

import numpy as np

from shop.core.evidence import What
from shop.core.learning import Learned, learn
from shop.core.own_rugs import Question, answer
from shop.core.spread import EIGHT_OF_TEN, Estimate, add
from tests.core.simulated_shops import (
    CUTTER,
    KINDS,
    SPAN,
    a_shop,
    cloth_of,
    hours_and_strip,
    on,
    oracle,
    recorded,
    records_of,
)
from tests.load.learning_speed import speed

SHOPS, SEED = 200, 1902
WARM = 5
"""Rugs on a loom from which the band must hold."""
FIELDS = {
    "clean": {},
    "5 % gross": {"gross": 0.05},
    "pace drifts by 3 % a rug, a half-life of 45 days": {"drift": 0.03, "half_life": 45.0},
    "pace drifts by 3 % a rug, a half-life of 90 days": {"drift": 0.03, "half_life": 90.0},
    "pace drifts by 3 % a rug, no half-life": {"drift": 0.03},
}
STAGES = ((1, 5), (5, 10), (10, 20), (20, 40), (40, 60))
AIM = (0.78, 0.82)
CLOTH_A_METRE, AN_HOUR = 0.06, 22.0
"""What a metre of strip and an hour cost, overhead with it, for the price."""


def run(*, turns: int, rows: int) -> None:
    """Tell every field; a quick look takes a tenth of the shops."""
    del rows
    shops = SHOPS if turns >= 200 else SHOPS // 10
    print(f"  {shops} shops of 60 rugs, seed {SEED}")
    for name, given in FIELDS.items():
        told(name, *simulate(shops, SEED, **given))
    speed()


def simulate(shops, seed, *, gross=0.0, drift=0.0, half_life=None):
    """All rugs of so many shops: each number of each rug, and each rug's cloth and price."""
    one = partial(a_shops_rugs, seed, gross=gross, drift=drift, half_life=half_life)
    with ProcessPoolExecutor(os.cpu_count()) as pool:
        found = list(pool.map(one, range(shops), chunksize=2))
    return [row for numbers, _ in found for row in numbers], [row for _, rugs in found for row in rugs]


def a_shops_rugs(seed, number, *, gross, drift, half_life):
    """One shop, told of before each rug and taught after it."""
    shop = a_shop(seed, number, gross=gross, drift=drift)
    chance = np.random.default_rng([seed, number, 7])
    guesses = shop.guesses
    ignorant, seen, numbers, rugs = Learned({}, guesses), [], [], []
    woven, past = defaultdict(int), defaultdict(list)
    for place, rug in enumerate(shop.rugs):
        seen += [one for one in shop.quick if one.source == f"inch {place}"]
        near = [one for one in seen if one.on in (rug.loom, CUTTER)]
        learned = learn(near, guesses, today=rug.day, half_life=half_life)
        asked = {
            what: Question(what=what, on=on(what, rug), kind=rug.kind, cloth=rug.cloth, size=rug.size(what)) for what in SPAN
        }
        said = {what: answer(learned, question).estimate for what, question in asked.items()}
        thumb = {what: answer(ignorant, question).estimate for what, question in asked.items()}
        for what, estimate in said.items():
            middle = math.log(estimate.middle / thumb[what].middle)
            best = oracle(shop, place, what, drift=drift)
            true = rug.outcome[what]
            inside = abs(true - middle) <= EIGHT_OF_TEN * estimate.sigma
            centre = rug.centre[what]
            off = (middle - centre, best - centre, middle - true, best - true)
            numbers.append((what, rug.kind, woven[on(what, rug)], inside, *off))
        strip, minutes = hours_and_strip(shop, rug, rug.outcome)
        mine, rule = foreseen(shop, rug, said), foreseen(shop, rug, thumb)
        average = averaged(past[rug.loom], rule)
        if woven[rug.loom] >= WARM:
            rugs.append([(strip, minutes), mine, rule, average])
        seen += records_of(shop, place, chance)
        written = hours_and_strip(shop, rug, recorded(rug))
        past[rug.loom].append([real / guess.middle for real, guess in zip(written, rule, strict=True)])
        woven[rug.loom] += 1
        woven[CUTTER] += 1
    return numbers, rugs


def foreseen(shop, rug, said):
    """Strip to cut in metres, and minutes, as estimates: the same arithmetic as a rug's reckoning."""
    pitch, section = cloth_of(rug)
    rows = Estimate(pitch).over(said[What.PACKING].scaled(section))
    strip = rows.scaled(rug.width).times(said[What.TAKE_UP]).times(said[What.WASTE])
    parts = [strip.times(said[What.CUT]), rows.times(said[What.ROW]), said[What.WARP], said[What.FINISH]]
    return strip, add(parts)


def averaged(past, rule):
    """The average of all past rugs on the loom over the rule of thumb, with the spread that they had."""
    if len(past) < 2:
        return rule
    mean, logs = np.mean(past, axis=0), np.log(past)
    spread = np.std(logs, axis=0, ddof=1)
    return tuple(Estimate(one.middle * m, (("past", s),)) for one, m, s in zip(rule, mean.tolist(), spread.tolist(), strict=True))


def told(name, numbers, rugs):
    """Print one field's figures."""
    print(f"\n  {name}", flush=True)
    warm = [row for row in numbers if row[2] >= WARM]
    print(f"    all numbers: {inside(warm)}")
    for what in SPAN:
        print(f"      {what.value:30} {inside([row for row in warm if row[0] is what])}")
    of_cloth = [row for row in warm if row[0].is_of_cloth]
    for kind in KINDS:
        print(f"      in {kind.value:27} {inside([row for row in of_cloth if row[1] == kind.value])}")
    for low, high in STAGES:
        stage = [row for row in numbers if low <= row[2] < high]
        ratios = [rms(stage, i) / rms(stage, i + 1) for i in (4, 6)]
        print(
            f"    {low:2} to {high - 1:2} rugs in: middle off the truth by {rms(stage, 4):.3f}, oracle {rms(stage, 5):.3f}, "
            f"{ratios[0]:.3f} times; off the outcome {rms(stage, 6):.3f}, oracle {rms(stage, 7):.3f}, {ratios[1]:.3f} times; "
            f"{inside(stage)}"
        )
    for place, what in enumerate(("strip", "hours")):
        held = np.mean([each[1][place].low <= each[0][place] <= each[1][place].high for each in rugs])
        print(f"    whole rugs, {what}: {held:.1%} inside")
    ways = {"own rugs": 1, "rule of thumb": 2, "average of past rugs": 3}
    left, short, off = {}, {}, {}
    for way, at in ways.items():
        bought = np.array([each[at][0].high / each[0][0] for each in rugs])
        left[way], short[way] = np.mean(np.maximum(bought - 1, 0)), np.mean(bought < 1)
        said = [cost_of(each[at][0].middle, each[at][1].middle) / cost_of(*each[0]) for each in rugs]
        off[way] = np.mean(np.abs(np.array(said) - 1))
        print(
            f"    {way:21} cloth left over {left[way]:.1%} of what was needed, short {short[way]:.1%} of rugs (told: 10 %), "
            f"price off by {off[way]:.1%}"
        )
    for way in list(ways)[1:]:
        print(
            f"    own rugs over {way}: left over {left['own rugs'] / left[way]:.2f}, short {short['own rugs'] / short[way]:.2f}, "
            f"price off {off['own rugs'] / off[way]:.2f}"
        )


def cost_of(strip, minutes):
    """What a rug costs, by its strip in metres and its minutes."""
    return strip * CLOTH_A_METRE + minutes / 60 * AN_HOUR


def inside(rows):
    """The share inside the band of eight of ten, and whether that is as it should be."""
    share = np.mean([row[3] for row in rows])
    return f"{share:.1%} inside{'' if AIM[0] <= share <= AIM[1] else f' (aim {AIM[0]:.0%} to {AIM[1]:.0%}: missed)'}"


def rms(rows, column):
    """Root of the mean square."""
    return math.sqrt(np.mean([row[column] ** 2 for row in rows]))
