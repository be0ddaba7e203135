"""Draws that a number decides: always the same, and even."""

from itertools import islice

import pytest

from shop.core.chance import DRAWS, chance_from


def draws(seed, count):
    return list(islice(chance_from(seed), count))


def test_a_number_always_draws_the_same():
    assert draws(7, 20) == draws(7, 20)
    assert draws(7, 20) != draws(8, 20)
    assert draws(-1, 3) == draws(DRAWS - 1, 3)


@pytest.mark.parametrize("seed", [0, 1, 2026, DRAWS - 1])
def test_draws_are_even(seed):
    """4,096 draws over 16 boxes: chi-square with 15 degrees of freedom is below 44.26 but once in 10,000."""
    boxes = [0] * 16
    for draw in draws(seed, 4096):
        assert 0 <= draw < DRAWS
        boxes[draw * 16 // DRAWS] += 1
    assert sum((box - 256) ** 2 / 256 for box in boxes) < 44.26
