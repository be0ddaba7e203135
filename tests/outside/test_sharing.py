"""Sharing out whole units by largest remainder, against apportionments on record."""

from shop.core.money import Money, allocate, split


def test_sixty_seats_over_ten_million():
    """Hamilton's method on the census of 1790, as reprinted for a house of 60; recomputed."""
    people = [630560, 475327, 432879, 353523, 331589, 278514, 236841, 206236, 179570, 141822, 85533, 70835, 68705, 68446, 55540]
    assert allocate(60, people) == [11, 8, 7, 6, 6, 5, 4, 3, 3, 2, 1, 1, 1, 1, 1]


def test_ten_seats_over_six_parties():
    """A textbook example of the largest remainder; from memory, recomputed."""
    assert allocate(10, [47000, 16000, 15900, 12000, 6100, 3100]) == [5, 2, 1, 1, 1, 0]


def test_a_hundred_by_three():
    """Arithmetic: the coin over goes to the first of equals, and a refund mirrors what was paid."""
    thirds = [Money(minor, "USD") for minor in (3334, 3333, 3333)]
    assert split(Money(10_000, "USD"), [1, 1, 1]) == thirds
    assert split(Money(-10_000, "USD"), [1, 1, 1]) == [-third for third in thirds]
