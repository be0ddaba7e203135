"""Numbers as they stand in addresses and hidden entries: small whole ones, or none."""

from __future__ import annotations

from typing import Final

LONGEST: Final = 18
"""Figures that a number of a row can have."""


def number_of(text: str) -> int | None:
    """The whole number that a text is; ``None`` for anything else."""
    readable = text.isascii() and text.isdigit() and len(text) <= LONGEST
    return int(text) if readable else None
