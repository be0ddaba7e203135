"""The log of the running shop: what went wrong and when, and never the secret part of a private link.

Whatever serves the pages writes addresses into the log too, as when a browser goes away before its answer; so the secret is
struck out of each line as it is written, whoever wrote it.
"""

from __future__ import annotations

import logging
import re
from typing import Final

LINE: Final = "%(asctime)s %(levelname)s %(name)s: %(message)s"
STRUCK_OUT: Final = "…"
_BEHIND: Final = re.compile(r"(/o/|/calendar/)[^\s/?#\"'<>\[\]]+")
"""What stands behind the address of private pages."""
_SECRET: Final = re.compile(r"[A-Za-z0-9_-]{43,}")
"""As many signs as the secret part of a link has, wherever they stand."""


def discreet(text: str) -> str:
    """A text without the secret part of any private link."""
    return _SECRET.sub(STRUCK_OUT, _BEHIND.sub(rf"\1{STRUCK_OUT}", text))


class DiscreetFormatter(logging.Formatter):
    """Writes a line, and what came with an error, without secrets."""

    def format(self, record: logging.LogRecord) -> str:
        """The line as it is written."""
        return discreet(super().format(record))


def open_log(level: str) -> None:
    """Begin to write the log, from this level up."""
    handler = logging.StreamHandler()
    handler.setFormatter(DiscreetFormatter(LINE))
    logging.basicConfig(level=level, handlers=[handler])
