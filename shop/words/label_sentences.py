"""The sentences for problems of labels: which pieces, and what can be printed on them."""

from __future__ import annotations

from typing import Final

from shop.words.catalogue import mark

LABELS: Final[dict[str, str]] = {
    "label.numbers": mark("“%(text)s” is not the number of a piece. Write numbers like 3-9, 12."),
    "label.none": mark("Say which pieces: write their numbers, like 3-9, 12."),
    "label.many": mark("At most %(most)s labels can be printed in one go."),
    "label.missing": mark("There is no piece %(text)s here."),
    "label.code": mark(
        "So long an address makes a code too fine to read on so small a label. Choose larger labels, or a shorter "
        "address."
    ),
}
