# ruff: noqa: T201 - a command speaks by printing
"""``thriftloom plan FILE.toml``: which pieces to cut for which bands, described in a file.

Prints the plan for a person, or with ``--json`` for a program. Exits with 2 and a sentence for what cannot be.
"""

from __future__ import annotations

import argparse
import json

from shop.cli_reckon import CANNOT, document_in, refused
from shop.commands.quiet import solver_kept_quiet
from shop.core.cutting_plan import Plan, plan_cutting
from shop.core.described_cutting import CuttingAsked, cutting_asked, cutting_told
from shop.core.errors import Refusal
from shop.words import Words, mark

WAYS = {"along": mark("along"), "across": mark("across")}
WISHES = {
    "short": mark("strip to buy"),
    "cost": mark("cost"),
    "joins": mark("joins"),
    "left_over": mark("strip left over"),
    "age": mark("age"),
}


def add(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add the command to the others."""
    parser = commands.add_parser(
        "plan",
        help="print which pieces to cut for a rug described in a file",
        description="Print which pieces to cut, how, and into how many strips, for the bands described in a TOML file. "
        "The guide's page “A rug in a file” names all that the file may hold.",
    )
    parser.add_argument("file", help="the file, or - for standard input")
    parser.add_argument("--json", action="store_true", help="for programs: lengths in metres, money as strings")
    parser.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> int:
    """Make the plan and print it; the exit status."""
    document = document_in(arguments.file)
    if document is None:
        return CANNOT
    try:
        asked = cutting_asked(document)
        with solver_kept_quiet():
            plan = plan_cutting(
                asked.pieces, asked.bands, asked.rules, currency=asked.manner.currency, seconds=asked.seconds
            )
    except Refusal as refusal:
        return refused(arguments.file, refusal, Words())
    if arguments.json:
        print(json.dumps(cutting_told(asked, plan), indent=2, ensure_ascii=False))
    else:
        manner = asked.manner
        _print_plan(asked, plan, Words(locale=manner.locale, units=manner.units.value, currency=manner.currency))
    return 0


def _print_plan(asked: CuttingAsked, plan: Plan, words: Words) -> None:
    for place, band in enumerate(asked.bands):
        print(f"{band.name}: {words.strip_length(band.need.metres)}")
        for cut in plan.cutting.cuts:
            if cut.band == place:
                piece = asked.pieces[cut.piece].name
                way = words.say(WAYS[cut.way.value])
                length = words.strip_length(cut.length.metres)
                line = words.say_n("%(n)s strip %(way)s, %(length)s", "%(n)s strips %(way)s, %(length)s", cut.strips, way=way, length=length)
                print(f"  {piece + ' ':.<32} {line}  {words.money(cut.cost)}")
        short = plan.cutting.short[place]
        if short:
            print("  ! " + words.say("%(length)s is short: buy cloth for it.", length=words.strip_length(short.metres)))
    print()
    print(words.say("Cost of the cloth: %(cost)s", cost=words.money(plan.cutting.cost)))
    print(words.say("Joins: %(joins)s", joins=words.number(plan.cutting.joins)))
    for stage in plan.stages:
        wish = words.say(WISHES[stage.wish.value])
        if stage.gap:
            line = words.say("%(wish)s: within %(share)s of the best possible", wish=wish, share=words.percent(stage.gap))
        else:
            line = words.say("%(wish)s: the best possible", wish=wish)
        print(f"  {line}")
