"""``python -m tests.load``: how quick Thriftloom is, each thing told beside another that ran in the same minute.

Nothing here is a test: no run fails for being slow on a busy machine. The figures go to standard output.
"""

from __future__ import annotations

import argparse
import os
import platform
from importlib import import_module

PARTS = ("core", "pages", "quotes", "orders", "fabric", "cutting", "reach", "learning", "rugs_say", "paper", "tags", "till")
FEW, MANY = 20_000, 1_000_000


def main() -> None:
    """Run the parts that are asked for, in order."""
    parser = argparse.ArgumentParser(prog="python -m tests.load", description=__doc__)
    parser.add_argument(
        "parts", nargs="*", metavar="PART", help=f"of {', '.join(PARTS)}; all of them by default"
    )
    parser.add_argument("--rows", type=int, default=MANY, help=f"quotes or orders in the long list (default: {MANY:,})")
    parser.add_argument(
        "--quick", action="store_true", help=f"a quick look: {FEW:,} of them and a quarter of the turns"
    )
    arguments = parser.parse_args()
    unknown = set(arguments.parts) - set(PARTS)
    if unknown:
        parser.error(f"no such part: {', '.join(sorted(unknown))}")
    rows, turns = (min(FEW, arguments.rows), 50) if arguments.quick else (arguments.rows, 200)
    print(
        f"Python {platform.python_version()}, {os.cpu_count()} processors; medians of {turns} turns, side by side"
    )
    for part in arguments.parts or PARTS:
        print(f"\n{part}")
        import_module(f"tests.load.{part}").run(turns=turns, rows=rows)


if __name__ == "__main__":
    main()
