"""A rug reckoned in plain floats: the formulas of the core for one cloth on a shaft loom, and nothing else.

No exact money, no lengths with units, no names, no problems told; the same figures, low, middle and high with them.
What the core takes longer than this is what all of that costs.
"""

from __future__ import annotations

from math import ceil, exp, expm1, log1p, sqrt

EIGHT_OF_TEN = 1.2815515655446004


def plain_rug(
    *,
    width: float,
    length: float,
    rugs: int,
    ends_per_m: float,
    loom_width: float,
    draw_in: float,
    warp_take_up: float,
    relaxation: float,
    loom_waste: float,
    selvedge_ends: int,
    hem: float,
    m_per_kg: float,
    yarn_per_g: float,
    strip: float,
    join_loss: float,
    cloth_width: float,
    cloth_length: float,
    paid: float,
    in_hand: float,
    g_per_m2: float,
    density: float,
    packing: float,
    take_up: float,
    waste: float,
    spread: tuple[float, float, float],
    pace: tuple[float, ...],
    wage: float,
    overhead: float,
    bought_in: float,
    markup: float,
    fee_share: float,
    fee_fixed: float,
    tax_rate: float,
    step: float,
    deposit: float,
) -> dict[str, float]:
    """Lengths in metres, weights in grams, times in minutes, money in floats of its currency.

    ``spread`` holds the doubt of packing, take-up and the pace of a row; ``pace`` the minutes of washing, cutting,
    setting up, an end, a row, its metre, a change, finishing, an edge, a seam and the office.
    """
    wash_per_kg, cut_per_m, set_up, per_end, per_row, per_row_m, _, finish_set_up, per_edge, seam_per_m, office = pace
    s_packing, s_take_up, s_row = spread
    s_waste = waste * 2
    # the warp
    panels = ceil(round(width / (loom_width * (1 - draw_in)), 9))
    panel = width / panels
    ends = ceil(round(ends_per_m * panel / (1 - draw_in), 9)) + selvedge_ends
    woven = length / (1 - relaxation)
    pieces = rugs * panels
    one = pieces * (woven + 2 * hem) / (1 - warp_take_up) + loom_waste
    warp_g = ends * one / rugs / m_per_kg * 1000
    warp_cost = round(warp_g * yarn_per_g, 2)
    # rows, weft and cloth
    section = strip * 1000 * g_per_m2 / (1000 * density)
    pitch = packing * sqrt(section)
    rows = ceil(round(woven * 1000 / pitch, 9))
    woven_in = rows * panel * panels * take_up
    joins = ceil(round((woven_in - join_loss) / (cloth_length - join_loss), 9)) - 1 if woven_in > cloth_length else 0
    weft = woven_in + joins * join_loss
    s_weft = sqrt(s_packing**2 + s_take_up**2)
    s_cut = sqrt(s_packing**2 + s_take_up**2 + s_waste**2)
    to_cut = weft / (1 - waste)
    weft_g = weft * strip * g_per_m2
    strips = int(round(cloth_width / strip, 9))
    per_piece = strips * cloth_length
    cloth_cost = round(weft / (1 - waste) / per_piece * paid, 2)
    short = max(0.0, to_cut * exp(EIGHT_OF_TEN * s_cut) - per_piece * in_hand)
    # the rug's weight: weft in doubt, warp known
    weight_mean = weft_g * exp(s_weft**2 / 2) + warp_g
    variance = (weft_g * exp(s_weft**2 / 2)) ** 2 * expm1(s_weft**2)
    s_weight = sqrt(log1p(variance / weight_mean**2))
    # hours
    wash = to_cut * strip * g_per_m2 / 1000 * wash_per_kg
    cut = to_cut * cut_per_m
    warping = (set_up + ends * per_end) / rugs
    weave = rows * panels * (per_row + per_row_m * panel)
    finish = finish_set_up + 2 * panels * per_edge + (panels - 1) * length * seam_per_m
    minutes = wash + cut + warping + weave + finish + office
    s_weave = sqrt(s_packing**2 + s_row**2)
    of_cut = exp(s_cut**2 / 2)
    wash_mean, cut_mean, weave_mean = wash * of_cut, cut * of_cut, weave * exp(s_weave**2 / 2)
    mean = wash_mean + cut_mean + weave_mean + warping + finish + office
    both, own, of_weave = wash_mean + cut_mean, expm1(s_cut**2), expm1(s_weave**2)
    shared = expm1(s_packing**2)
    variance = both**2 * own + weave_mean**2 * of_weave + 2 * both * weave_mean * shared
    s_minutes = sqrt(log1p(variance / mean**2))
    weights = (
        (both + weave_mean) / mean * s_packing,
        both / mean * s_take_up,
        both / mean * s_waste,
        weave_mean / mean * s_row,
    )
    scale = s_minutes / sqrt(sum(weight * weight for weight in weights))
    of_minutes = tuple(weight * scale for weight in weights)
    # what it costs
    labour = round(minutes * wage / 60, 2)
    overhead_cost = round(minutes / 60 * overhead, 2)
    materials = cloth_cost + warp_cost
    cost = materials + labour + overhead_cost + bought_in
    per_minute = (wage + overhead) / 60
    cloth_mean = cloth_cost * of_cut
    time_mean = minutes * per_minute * exp(s_minutes**2 / 2)
    mean = cloth_mean + time_mean + warp_cost + bought_in
    together = of_minutes[0] * s_packing + of_minutes[1] * s_take_up + of_minutes[2] * s_waste
    variance = cloth_mean**2 * expm1(s_cut**2) + time_mean**2 * expm1(s_minutes**2)
    variance += 2 * cloth_mean * time_mean * expm1(together)
    s_cost = sqrt(log1p(variance / mean**2))
    # the price
    floor = round((materials + bought_in + fee_fixed) / (1 - fee_share), 2)
    cost_price = round((cost + fee_fixed) / (1 - fee_share), 2)
    asking = round((cost * (1 + markup) + fee_fixed) / (1 - fee_share), 2)
    asking = max(ceil(round(asking / step, 9)) * step, floor)
    tax = round(asking * tax_rate, 2)
    total = asking + tax
    fees = round(asking * fee_share, 2) + fee_fixed
    net = asking - fees
    # what an hour earns, and how sure that is: every source a step up and down
    hourly = round((net - materials - overhead_cost - bought_in) / minutes * 60, 2)
    doubt = 0.0
    for of_cloth, of_time in zip((s_packing, s_take_up, s_waste, 0.0), of_minutes, strict=True):
        ends_of = []
        for way in (1, -1):
            time = minutes * exp(way * of_time)
            left = net - warp_cost - bought_in - cloth_cost * exp(way * of_cloth) - overhead_cost / minutes * time
            ends_of.append(left / time * 60)
        doubt += ((ends_of[0] - ends_of[1]) / 2) ** 2
    either_side = round(sqrt(doubt) * EIGHT_OF_TEN, 2)
    low, high = exp(-EIGHT_OF_TEN * s_weft), exp(EIGHT_OF_TEN * s_weft)
    return {
        "ends": ends,
        "warp_m": ends * one,
        "warp_g": warp_g,
        "rows": rows,
        "rows_low": rows * exp(-EIGHT_OF_TEN * s_packing),
        "rows_high": rows * exp(EIGHT_OF_TEN * s_packing),
        "weft": weft,
        "weft_low": weft * low,
        "weft_high": weft * high,
        "area": weft * strip,
        "weight": weft_g + warp_g,
        "weight_high": (weft_g + warp_g) * exp(EIGHT_OF_TEN * s_weight),
        "to_cut_high": to_cut * exp(EIGHT_OF_TEN * s_cut),
        "pieces": to_cut / per_piece,
        "short": short,
        "minutes": minutes,
        "minutes_low": minutes * exp(-EIGHT_OF_TEN * s_minutes),
        "minutes_high": minutes * exp(EIGHT_OF_TEN * s_minutes),
        "cost": cost,
        "cost_low": cost * exp(-EIGHT_OF_TEN * s_cost),
        "cost_high": cost * exp(EIGHT_OF_TEN * s_cost),
        "floor": floor,
        "cost_price": cost_price,
        "asking": asking,
        "tax": tax,
        "total": total,
        "deposit": round(total * deposit, 2),
        "hourly": hourly,
        "hourly_low": hourly - either_side,
        "hourly_high": hourly + either_side,
    }
