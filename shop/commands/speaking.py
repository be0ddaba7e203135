"""How the command speaks: in the language of the terminal, one plain sentence at a time."""

from __future__ import annotations

import os
import sys
from collections.abc import Mapping

from shop.core.asking import plain
from shop.core.errors import Refusal
from shop.words import Words
from shop.words.locales import offered_locales
from shop.words.problems import problem_sentence

DEFAULT = "en_US"


def terminal_words(environ: Mapping[str, str] = os.environ) -> Words:
    """Words in the language that the terminal asks for, where there is one; else English."""
    for variable in ("LC_ALL", "LC_MESSAGES", "LANG"):
        asked = environ.get(variable, "").split(".")[0].split("@")[0]
        if asked in offered_locales():
            return Words(asked)
        if asked:
            break
    return Words(DEFAULT)


def say(msgid: str, /, **values: object) -> None:
    """Write a sentence (a marked msgid) to standard output."""
    print(plain(terminal_words().say(msgid, **values)), flush=True)  # noqa: T201 - it is what a command does


def complain(msgid: str, /, **values: object) -> int:
    """Write a sentence to standard error; gives the exit code of a refusal, 2."""
    print(plain(f"thriftloom: {terminal_words().say(msgid, **values)}"), file=sys.stderr)  # noqa: T201
    return 2


def complain_of(refusal: Refusal) -> int:
    """Write a sentence for each problem to standard error, with its place; gives 2."""
    words = terminal_words()
    for problem in refusal.problems:
        place = f"{problem.where}: " if problem.where else ""
        print(plain(f"thriftloom: {place}{problem_sentence(problem, words)}"), file=sys.stderr)  # noqa: T201
    return 2
