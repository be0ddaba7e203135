"""``thriftloom backup FILE``: a copy of the whole shop, made while it goes on working."""

from __future__ import annotations

import os
from argparse import Namespace
from pathlib import Path
from typing import Any

from shop.assemble import copy_shop
from shop.commands.speaking import say
from shop.settings import read_settings
from shop.words import mark


def add(commands: Any) -> None:
    """Add the verb."""
    parser = commands.add_parser("backup", help="copy the whole shop to a new file")
    parser.add_argument("file", type=Path, help="the new file")
    parser.set_defaults(run=run)


def run(arguments: Namespace) -> int:
    """Copy."""
    made = copy_shop(read_settings(os.environ), arguments.file)
    say(mark("The shop is copied to %(file)s. Keep it on another disk."), file=str(made))
    return 0
