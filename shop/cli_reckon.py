# ruff: noqa: T201 - a command speaks by printing
"""``thriftloom reckon RUG.toml``: the cost sheet of a rug described in a file.

Prints the sheet for a person, or with ``--json`` for a program. Exits with 2 and a sentence for what cannot be.
"""

from __future__ import annotations

import argparse
import json
import sys
import tomllib
from pathlib import Path
from typing import Final

from shop.core.asking import plain
from shop.core.described import Manner, manner_of, plan_of
from shop.core.errors import Refusal, Unreadable
from shop.core.reckon import reckon
from shop.core.reckoning import Reckoning
from shop.core.sheet import sheet
from shop.words import Words
from shop.words.explained import sheet_in_words, warnings_in_words
from shop.words.locales import locale_of
from shop.words.problems import problem_sentence

CANNOT: Final = 2
LARGEST_FILE: Final = 1_000_000
WIDTH: Final = 78


def add(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add the command to the others."""
    parser = commands.add_parser(
        "reckon",
        help="print the cost sheet of a rug described in a file",
        description="Print the cost sheet of a rug described in a TOML file. The guide's page “A rug in a file” "
        "names all that the file may hold; what is missing takes a starting guess.",
    )
    parser.add_argument("file", help="the file, or - for standard input")
    parser.add_argument("--json", action="store_true", help="for programs: SI units, money as strings")
    parser.add_argument("--formulas", action="store_true", help="with the formula of each figure")
    parser.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> int:
    """Reckon the rug and print it; the exit status."""
    document = document_in(arguments.file)
    if document is None:
        return CANNOT
    words = Words()
    try:
        manner = manner_of(document)
        words = _words_of(manner)
        reckoning = reckon(plan_of(document))
    except Refusal as refusal:
        return refused(arguments.file, refusal, words)
    if arguments.json:
        print(json.dumps(sheet(reckoning), indent=2, ensure_ascii=False))
    else:
        _print_sheet(reckoning, words, formulas=arguments.formulas)
    return 0


def document_in(name: str) -> dict[str, object] | None:
    """The tables that a file describes; ``None``, and a sentence told, when it cannot be read."""
    try:
        return tomllib.loads(_text_of(name))
    except (OSError, UnicodeDecodeError, tomllib.TOMLDecodeError, ValueError, RecursionError) as error:
        print(plain(f"{name}: {_why(error)}"), file=sys.stderr)
        return None


def refused(name: str, refusal: Refusal, words: Words) -> int:
    """Tell every problem of a file in a sentence; the exit status."""
    for problem in refusal.problems:
        named = problem.where and not problem.code.startswith("key.unknown")  # whose sentence names the path
        where = f"{problem.where}: " if named else ""
        print(plain(f"{name}: {where}{problem_sentence(problem, words)}"), file=sys.stderr)
    return CANNOT


def _text_of(name: str) -> str:
    """The text, with or without a mark of its order of bytes at its head; never more than can be a rug."""
    if name == "-":
        content = sys.stdin.buffer.read(LARGEST_FILE + 1)
    else:
        with Path(name).open("rb") as file:
            content = file.read(LARGEST_FILE + 1)
    if len(content) > LARGEST_FILE:
        raise ValueError("is too large to describe a rug.")
    return content.decode("utf-8-sig")


def _why(error: Exception) -> str:
    if isinstance(error, OSError):
        return f"cannot be read ({error.strerror or error})."
    if isinstance(error, UnicodeDecodeError):
        return "is not text in UTF-8."
    if isinstance(error, tomllib.TOMLDecodeError):
        return f"is not TOML: {error}."
    if isinstance(error, RecursionError):
        return "is nested too deep to describe a rug."
    return str(error)


def _words_of(manner: Manner) -> Words:
    try:
        locale_of(manner.locale)
    except Unreadable as error:
        raise Refusal(*(problem.at("shop.locale") for problem in error.problems)) from None
    return Words(locale=manner.locale, units=manner.units.value, currency=manner.currency)


def _print_sheet(reckoning: Reckoning, words: Words, *, formulas: bool) -> None:
    print(words.say("A rug of %(size)s", size=words.size(reckoning.made.size)))
    for section in sheet_in_words(reckoning, words):
        print(f"\n{section.title}")
        for line in section.lines:
            value = f"{line.value}  ({line.between})" if line.between else line.value
            mark = " ~" if line.guess else ""
            print(f"  {line.name + ' ':.<42} {value}{mark}")
            if formulas:
                print(f"      = {line.formula}\n      = {line.figures}")
    print()
    for warning in warnings_in_words(reckoning, words):
        print(f"! {warning}")
    if reckoning.plan.assumed:
        print(words.say("~ rests on a starting guess: what this shop has not set or measured yet."))
