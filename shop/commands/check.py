# ruff: noqa: T201 - a command speaks by printing
"""``thriftloom check``: proves the fabric ledger, and names the row where it does not hold."""

from __future__ import annotations

import json
import os
from argparse import Namespace
from typing import Any

from shop.assemble import open_store
from shop.commands.speaking import terminal_words
from shop.core.asking import plain
from shop.core.errors import Problem
from shop.core.ledger_proof import Fault
from shop.settings import read_settings
from shop.usecases.ledger import Proof, prove
from shop.words import Words, mark
from shop.words.problems import problem_sentence

DOES_NOT_HOLD = 1
TABLES = {
    "movement": mark("Entry %(id)s"),
    "piece": mark("Piece %(id)s"),
    "job_cloth": mark("The cloth of job and piece %(id)s"),
    "haul": mark("Haul %(id)s"),
}


def add(commands: Any) -> None:
    """Add the verb."""
    parser = commands.add_parser(
        "check",
        help="prove that every cent paid for cloth is in one place",
        description="Plays every entry of the fabric ledger again and holds the sums against receipts and balances. "
        "Exits with 1, naming each row, where it does not hold.",
    )
    parser.add_argument("--json", action="store_true", help="for programs: money as strings")
    parser.set_defaults(run=run)


def run(arguments: Namespace) -> int:
    """Prove."""
    store = open_store(read_settings(os.environ))
    try:
        proof = prove(store)
    finally:
        store.close()
    words = terminal_words()
    if arguments.json:
        print(json.dumps(told(proof, words), indent=2, ensure_ascii=False))
    else:
        _print(proof, words)
    return 0 if proof.holds else DOES_NOT_HOLD


def told(proof: Proof, words: Words) -> dict[str, object]:
    """The proof for programs."""
    return {
        "ok": proof.holds,
        "currency": proof.paid.currency,
        "paid": proof.paid.plain(),
        "on_shelf": proof.on_shelf.plain(),
        "in_jobs": proof.in_jobs.plain(),
        "in_rugs": proof.in_rugs.plain(),
        "written_off": proof.written_off.plain(),
        "receipts": proof.receipts.plain(),
        "hauls": proof.hauls,
        "pieces": proof.pieces,
        "movements": proof.movements,
        "faults": [
            {"table": fault.table, "id": fault.id, "problem": fault.code, "sentence": _sentence(fault, words)}
            for fault in proof.faults
        ],
    }


def _sentence(fault: Fault, words: Words) -> str:
    what = problem_sentence(Problem(fault.code, values=dict(fault.values)), words)
    return plain(f"{words.say(TABLES[fault.table], id=str(fault.id))} {what}.")


def _print(proof: Proof, words: Words) -> None:
    lines = (
        (mark("Paid for cloth"), proof.paid),
        (mark("On the shelf"), proof.on_shelf),
        (mark("In jobs"), proof.in_jobs),
        (mark("In rugs"), proof.in_rugs),
        (mark("Written off"), proof.written_off),
    )
    for name, amount in lines:
        print(f"{words.say(name) + ' ':.<24} {words.money(amount)}")
    for fault in proof.faults:
        print(_sentence(fault, words))
    if proof.holds:
        print(
            words.say(
                "The ledger holds: %(movements)s entries of %(pieces)s pieces.",
                movements=proof.movements,
                pieces=proof.pieces,
            )
        )
    else:
        print(words.say("The ledger does not hold. Keep a copy of the database before anything else is done."))
