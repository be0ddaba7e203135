"""“Will it reach?” on rugs whose truth is known: how many that ran out were told in time, how many were told for nothing."""

from __future__ import annotations

from tests.core.simulated_rugs import FIELDS, simulate

RUGS = 4_000
SEEDS = (1, 2)
AIM_TOLD, AIM_WOLF = 0.95, 0.10


def run(*, turns: int, rows: int) -> None:
    """Tell each field of truths, for each seed."""
    del turns, rows
    for name, truth in FIELDS.items():
        for seed in SEEDS:
            found = simulate(RUGS, seed, **truth)
            good = found.told_share >= AIM_TOLD and found.wolf_share <= AIM_WOLF
            print(
                f"  {name}, seed {seed}: {found.told_share:.1%} of {found.out:,} that ran out were told before the last tenth, "
                f"{found.wolf_share:.1%} of {found.enough:,} that had enough were told they had not "
                f"(aim {AIM_TOLD:.0%} and {AIM_WOLF:.0%}: {'met' if good else 'missed'})"
            )
