"""The command ``thriftloom``: finds the verb, runs it, and says plainly what went wrong."""

from __future__ import annotations

import argparse
import importlib
import os
import sys
from collections.abc import Sequence

import shop
from shop.commands.speaking import complain, complain_of
from shop.core.errors import Refusal
from shop.words import mark

VERBS = {
    "reckon": "shop.cli_reckon",
    "plan": "shop.cli_plan",
    "serve": "shop.commands.serve",
    "demo": "shop.commands.demo",
    "migrate": "shop.commands.migrate",
    "account": "shop.commands.account",
    "backup": "shop.commands.backup",
    "check": "shop.commands.check",
    "export": "shop.commands.export",
}
"""Each verb with its module."""


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the command; 0 when it did what was asked, 2 when it refused."""
    asked = list(sys.argv[1:] if arguments is None else arguments)
    given = _parser(asked).parse_args(asked)
    try:
        return int(given.run(given))
    except Refusal as refusal:
        return complain_of(refusal)
    except KeyboardInterrupt:
        return 130
    except BrokenPipeError:  # whoever read the output has gone, as ``head`` does
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 0
    except Exception as error:
        from shop.usecases import StoreUnavailable  # noqa: PLC0415 - a reckoning needs no database

        if not isinstance(error, StoreUnavailable):
            raise
        return complain(
            mark("The database does not answer: %(reason)s"), reason=next(iter(str(error).strip().splitlines()), "?")
        )


def _parser(asked: Sequence[str]) -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(prog="thriftloom", description="The rag-rug studio's reckoner.")
    parser.add_argument("--version", action="version", version=f"%(prog)s {shop.__version__}")
    commands = parser.add_subparsers(required=True, metavar="verb")
    first = next((word for word in asked if not word.startswith("-")), "")
    for verb in (first,) if first in VERBS else VERBS:  # a verb loads only what it needs
        importlib.import_module(VERBS[verb]).add(commands)
    return parser


if __name__ == "__main__":
    sys.exit(main())
