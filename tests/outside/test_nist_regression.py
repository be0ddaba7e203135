"""Least squares against the Statistical Reference Datasets of the National Institute of Standards and Technology (StRD).

Certified values are published to 15 digits. Norris ships with SciPy. The rows of Pontius and Longley, and the standard errors
and residual deviations beside the certified coefficients of NoInt1 and NoInt2, are from memory: that they give the certified
values to so many digits is the check on the memory too.
"""

import math
from pathlib import Path

import pytest
import scipy

from shop.core.regression import fitted

PONTIUS = """
.11019 .21956 .32949 .43899 .54803 .65694 .76562 .87487 .98292 1.09146 1.20001 1.30822 1.41599 1.52399 1.63194 1.73947 1.84646
1.95392 2.06128 2.16844 .11052 .22018 .32939 .43886 .54798 .65739 .76596 .87474 .98300 1.09150 1.20004 1.30818 1.41613 1.52408
1.63159 1.73965 1.84696 1.95445 2.06177 2.16829
"""
LONGLEY = """
60323 83.0 234289 2356 1590 107608 1947
61122 88.5 259426 2325 1456 108632 1948
60171 88.2 258054 3682 1616 109773 1949
61187 89.5 284599 3351 1650 110929 1950
63221 96.2 328975 2099 3099 112075 1951
63639 98.1 346999 1932 3594 113270 1952
64989 99.0 365385 1870 3547 115094 1953
63761 100.0 363112 3578 3350 116219 1954
66019 101.2 397469 2904 3048 117388 1955
67857 104.6 419180 2822 2857 118734 1956
68169 108.4 442769 2936 2798 120445 1957
66513 110.8 444546 4681 2637 121950 1958
68655 112.6 482704 3813 2552 123366 1959
69564 114.2 502601 3931 2514 125368 1960
69331 115.7 518173 4806 2572 127852 1961
70551 116.9 554894 4007 2827 130081 1962
"""


def norris():
    path = Path(scipy.__file__).parent / "stats" / "tests" / "data" / "nist_linregress" / "Norris.dat"
    pairs = [tuple(map(float, line.split())) for line in path.read_text("ascii").splitlines()[60:96]]
    return [(1.0, x) for _, x in pairs], [y for y, _ in pairs]


def pontius():
    loads = [150_000.0 * step for step in range(1, 21)] * 2
    return [(1.0, x, x * x) for x in loads], [float(text) for text in PONTIUS.split()]


def longley():
    table = [tuple(map(float, line.split())) for line in LONGLEY.split("\n") if line]
    return [(1.0, *row[1:]) for row in table], [row[0] for row in table]


CERTIFIED = {
    "Norris": (
        norris,
        (-0.262323073774029, 1.00211681802045),
        (0.232818234301152, 0.000429796848199937),
        0.884796396144373,
    ),
    "Pontius": (
        pontius,
        (0.673565789473684e-3, 0.732059160401003e-6, -0.316081871345029e-14),
        (0.107938612033077e-3, 0.157817399981659e-9, 0.486652849992036e-16),
        0.205177424076185e-3,
    ),
    "NoInt1": (
        lambda: ([(float(x),) for x in range(60, 71)], [float(y) for y in range(130, 141)]),
        (2.07438016528926,),
        (0.0165289256198347,),
        3.56753034006338,
    ),
    "NoInt2": (
        lambda: ([(4.0,), (5.0,), (6.0,)], [3.0, 4.0, 4.0]),
        (0.727272727272727,),
        (0.0420827318078432,),
        0.369274472937998,
    ),
    "Longley": (
        longley,
        (-3482258.63459582, 15.0618722713733, -0.358191792925910e-1, -2.02022980381683, -1.03322686717359, -0.511041056535807e-1, 1829.15146461355),
        (890420.383607373, 84.9149257747669, 0.334910077722432e-1, 0.488399681651699, 0.214274163161675, 0.226073200069370, 455.478499142212),
        304.854073561965,
    ),
}  # fmt: skip
DIGITS = {"Norris": 13, "Pontius": 13, "NoInt1": 14, "NoInt2": 14, "Longley": 12}
"""Digits that agree, at the least, of every coefficient, every standard error and the residual standard deviation."""


def digits(ours, certified):
    """The log relative error: so many significant digits agree (B. D. McCullough, 1998); certified values end at 15."""
    return 15.0 if ours == certified else min(15.0, -math.log10(abs(ours - certified) / abs(certified)))


@pytest.mark.parametrize("name", CERTIFIED)
def test_least_squares_to_the_certified_digits(name):
    data, coefficients, errors, residual = CERTIFIED[name]
    found = fitted(*data())
    ours = (*found.middle, *found.errors, math.sqrt(found.variance))
    agreed = [digits(*pair) for pair in zip(ours, (*coefficients, *errors, residual), strict=True)]
    assert min(agreed) >= DIGITS[name], agreed
