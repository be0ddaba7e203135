"""``thriftloom export DIR``: cloth, jobs, rugs, sales, fairs and payments, as CSV files and one workbook."""

from __future__ import annotations

import os
from argparse import Namespace
from pathlib import Path
from typing import Any

from shop.assemble import open_store
from shop.commands.speaking import complain, say
from shop.paper.sheets import Workbook, csv_lines
from shop.settings import read_settings
from shop.usecases.export import everything
from shop.words import mark

WORKBOOK = "thriftloom.xlsx"


def add(commands: Any) -> None:
    """Add the verb."""
    parser = commands.add_parser("export", help="write hauls, pieces, jobs and movements to files")
    parser.add_argument("folder", type=Path, help="a new or empty folder")
    parser.set_defaults(run=run)


def run(arguments: Namespace) -> int:
    """Write the files."""
    folder: Path = arguments.folder
    store = open_store(read_settings(os.environ))
    try:
        folder.mkdir(parents=True, exist_ok=True)
        if any(folder.iterdir()):
            return complain(
                mark("There are files in %(folder)s already. Name a new folder, or an empty one."), folder=str(folder)
            )
        for name, without in _written(store, folder):
            if without:
                say(
                    mark("%(count)s rows of %(name)s had no room in the workbook; they are in the CSV file."),
                    count=without,
                    name=name,
                )
    except OSError as error:
        return complain(
            mark("%(folder)s cannot be written: %(reason)s"), folder=str(folder), reason=error.strerror or str(error)
        )
    finally:
        store.close()
    say(mark("Everything is in %(folder)s, as CSV files and as the workbook %(name)s."), folder=str(folder), name=WORKBOOK)
    return 0


def _written(store: Any, folder: Path) -> list[tuple[str, int]]:
    """Write each table as CSV and into the workbook, all of one moment; gives what had no room in the workbook."""
    book = Workbook(str(folder / WORKBOOK))
    try:
        with everything(store) as sheets:
            for sheet in sheets:
                name = folder / f"{sheet.name.replace(' ', '-')}.csv"
                with name.open("x", encoding="utf-8", newline="") as file:
                    file.writelines(csv_lines(sheet.columns, sheet.rows()))
            return [(sheet.name, book.add(sheet.name, sheet.columns, sheet.rows())) for sheet in sheets]
    finally:
        book.close()
