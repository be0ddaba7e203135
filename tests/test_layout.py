"""The rules of the house, held. Each test is a rule, and says why it is one."""

import ast
import re
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent
CODE = sorted([*(ROOT / "shop").rglob("*.py"), *(ROOT / "seed_demo").rglob("*.py")])
TESTS = sorted((ROOT / "tests").rglob("*.py"))
TEMPLATES = sorted((ROOT / "templates").rglob("*.html"))

# Which storey may import which, as the table in DEVELOPERS.md says; and what from outside the house.
STOREYS = {
    "core": {"core"},
    "words": {"words", "core", "places"},
    "store": {"store", "core", "places"},
    "usecases": {"usecases", "core", "store"},
    "paper": {"paper", "core", "words", "places"},
    "web": {"web", "core", "usecases", "paper", "words", "places", "settings"},
    "commands": {"commands", "assemble", "settings", "usecases", "paper", "words", "core", "seed_demo"},
    "cli": {"commands", "usecases", "words", "core", "shop"},
    "cli_reckon": {"words", "core"},
    "cli_plan": {"cli_reckon", "commands", "words", "core"},
    "assemble": {"settings", "places", "core", "store", "usecases", "post", "web"},
    "post": {"core", "settings"},
    "settings": {"core"},
    "places": set(),
    "seed_demo": {"seed_demo", "usecases", "core"},
}
OUTSIDE = {
    "core": {"babel", "numpy", "highspy"},
    "words": {"babel"},
    "store": {"sqlalchemy", "alembic"},
    "usecases": {"argon2", "babel", "holidays", "PIL"},
    "paper": {"babel", "typst", "segno", "xlsxwriter", "openpyxl", "icalendar"},
    "web": {
        "flask",
        "flask_wtf",
        "flask_login",
        "flask_limiter",
        "wtforms",
        "werkzeug",
        "jinja2",
        "markupsafe",
    },
    "commands": {"waitress"},
    "assemble": {"flask"},
}


def storey_of(path):
    parts = path.relative_to(ROOT).with_suffix("").parts
    return parts[0] if parts[0] != "shop" else (parts[1] if len(parts) > 1 else "shop")


def imported(path):
    """Every module that a file imports, wherever in it."""
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        if isinstance(node, ast.Import):
            yield from (name.name for name in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path}: imports are written whole"
            if node.module in ("shop", "seed_demo"):
                yield from (f"{node.module}.{name.name}" for name in node.names)
            else:
                yield node.module


def inside(path):
    return storey_of(path) != "__init__"


@pytest.mark.parametrize("path", [p for p in CODE if inside(p)], ids=lambda p: str(p.relative_to(ROOT)))
def test_a_storey_imports_only_what_the_table_allows(path):
    storey = storey_of(path)
    for module in imported(path):
        first, *rest = module.split(".")
        if first in ("shop", "seed_demo"):
            target = first if first == "seed_demo" or not rest else rest[0]
            assert target in STOREYS[storey], f"{storey} may not import {module}"
        elif first not in sys.stdlib_module_names:
            assert first in OUTSIDE.get(storey, set()), f"{storey} may not import {module}"


def test_the_package_itself_imports_nothing():
    """So that ``import shop.core`` loads no framework."""
    assert not list(imported(ROOT / "shop" / "__init__.py"))


def test_each_room_of_the_core_imports_only_rooms_before_it():
    """The order stands in DEVELOPERS.md, which names every room there is."""
    told = (ROOT / "DEVELOPERS.md").read_text("utf-8")
    order = re.search(r"Rooms of the core, in order[^`]*`([^`]+)`", told)[1].split()
    rooms = {path.stem for path in (ROOT / "shop" / "core").glob("*.py")} - {"__init__"}
    assert set(order) == rooms
    for room in rooms:
        for module in imported(ROOT / "shop" / "core" / f"{room}.py"):
            if module.startswith("shop.core."):
                before = module.split(".")[2]
                assert order.index(before) < order.index(room), f"{room} may not import {before}"


def test_the_core_reads_no_clock_chance_disk_or_network():
    """The same values in give the same values out, always; and it can be tried without a machine around it."""
    forbidden = {
        "time",
        "random",
        "secrets",
        "uuid",
        "os",
        "pathlib",
        "io",
        "socket",
        "urllib",
        "subprocess",
        "shutil",
    }
    for path in (ROOT / "shop" / "core").glob("*.py"):
        assert not forbidden & {module.split(".")[0] for module in imported(path)}, path.name
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            if isinstance(node, ast.Attribute):
                assert node.attr not in ("now", "today", "utcnow"), f"{path.name} reads the clock"
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
                assert node.func.id not in ("open", "print", "input"), f"{path.name} calls {node.func.id}"


def test_only_the_store_commits_and_only_use_cases_write():
    """``with store.writing()`` in a use case is the one place where a change becomes a fact."""
    for path in CODE:
        text = path.read_text("utf-8")
        if storey_of(path) != "store":
            assert ".commit(" not in text, path
        if storey_of(path) not in ("usecases", "store"):
            assert ".writing(" not in text, path


def test_money_is_rounded_in_one_place():
    """Nobody else calls ``quantize``; figures for showing are rounded where figures are written."""
    allowed = {"core/money.py", "core/measure.py", "words/figures.py"}
    for path in CODE:
        if str(path.relative_to(ROOT)).removeprefix("shop/") not in allowed:
            assert "quantize(" not in path.read_text("utf-8"), path


@pytest.mark.parametrize("path", [*CODE, *TESTS], ids=lambda p: str(p.relative_to(ROOT)))
def test_a_file_says_what_it_is_and_is_called_after_the_trade(path):
    text = path.read_text("utf-8")
    if text.strip():
        assert ast.get_docstring(ast.parse(text)), "no docstring at its head"
    assert not re.search(r"util|helper|common|manager|misc", path.stem), "a name that says nothing"


def test_the_project_speaks_of_itself_alone():
    """Nothing left to do, no path of anybody's machine, no address of a package registry."""
    left = "|".join(("TO" + "DO", "FIX" + "ME", "X" * 3))
    pattern = re.compile(rf"\b({left})\b|/(?:work|home|root|tmp)/|pypi\.org")
    suffixes = {".py", ".html", ".typ", ".css", ".js", ".md", ".toml", ".cfg", ".po", ".svg", ".txt"}
    kept = [ROOT / name for name in ("shop", "templates", "migrations", "seed_demo", "tests")]
    files = [path for folder in kept for path in folder.rglob("*") if path.suffix in suffixes]
    for path in [*files, *ROOT.glob("*.md"), *ROOT.glob("*.toml"), *ROOT.glob("*.txt"), *ROOT.glob("*.cfg")]:
        found = pattern.search(path.read_text("utf-8"))
        assert not found, f"{path.relative_to(ROOT)}: {found[0]}"


@pytest.mark.parametrize("path", TEMPLATES, ids=lambda p: str(p.relative_to(ROOT)))
def test_a_template_holds_no_inline_script_or_style(path):
    """The content policy forbids them, so the browser would drop them without a word."""
    text = path.read_text("utf-8")
    assert not re.search(
        r"<style|\sstyle\s*=|<script(?![^>]*\ssrc=)|\son[a-z]+\s*=\s*[\"']|javascript:", text
    )
