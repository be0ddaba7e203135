"""Keeping the solver quiet: it greets on standard output, past Python, where only the command's own words belong."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager


@contextmanager
def solver_kept_quiet() -> Iterator[None]:
    """What the solver says goes nowhere meanwhile; for a command that does one thing at a time."""
    sys.stdout.flush()
    kept = os.dup(1)
    nowhere = os.open(os.devnull, os.O_WRONLY)
    try:
        os.dup2(nowhere, 1)
        yield
    finally:
        sys.stdout.flush()
        os.dup2(kept, 1)
        os.close(kept)
        os.close(nowhere)
