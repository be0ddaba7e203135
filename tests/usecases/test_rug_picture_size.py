"""A small picture that has to be smaller still: coarser first, then smaller, whatever is in it."""

import io

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image

from shop.usecases.developing import no_larger
from tests.usecases.a_photograph import opened


def noise(seed, side=360):
    """A picture that packs badly."""
    image = Image.effect_noise((side, side), 90 + seed % 80).convert("RGB")
    written = io.BytesIO()
    image.save(written, "JPEG", quality=90)
    return written.getvalue()


@pytest.mark.parametrize("most", [12 * 1024, 8 * 1024, 5 * 1024])
def test_it_fits(most):
    small = no_larger(noise(1), most=most)
    assert len(small) <= most
    assert max(opened(small).size) >= 120


@settings(max_examples=10)
@given(st.integers(0, 10**6))
def test_one_that_fits_stays_as_it_is(seed):
    picture = noise(seed, side=40)
    assert no_larger(picture, most=len(picture)) == picture


def test_one_that_cannot_fit_is_the_smallest_that_there_is():
    assert max(opened(no_larger(noise(2), most=100)).size) == 120
