"""Codes and papers against the standards they are made by, from memory of their tables.

ISO/IEC 18004: signs of any kind (byte mode) that a code of each version holds at error level M, and that a code of
version v is 17 + 4 v modules wide. ISO 216: A4 is 210 by 297 mm. ANSI/ASME Y14.1: Letter is 8 1/2 by 11 in.
"""

import pytest

from shop.paper.codes import code_of
from shop.paper.label_sheets import PAPERS

BYTES_AT_M = {1: 14, 2: 26, 3: 42, 4: 62, 5: 84, 6: 106, 7: 122, 8: 152, 9: 180, 10: 213}


@pytest.mark.parametrize(("version", "most"), BYTES_AT_M.items())
def test_a_code_is_as_large_as_the_standard_says_and_no_larger(version, most):
    assert code_of("a" * most).modules == 17 + 4 * version
    assert code_of("a" * (most + 1)).modules == 17 + 4 * (version + 1)


def test_papers_have_the_size_of_their_standards():
    assert PAPERS["a4"] == (210, 297)
    assert [side / 25 * 250 / 254 for side in PAPERS["us-letter"]] == [8.5, 11]
