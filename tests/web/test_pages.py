"""Each page's template and its declared dataclass hold one another: what one shows, the other has."""

import re
from dataclasses import fields
from pathlib import Path

import pytest
from jinja2 import meta, nodes

from shop.web import rooms  # noqa: F401 - declares the pages
from shop.web.pages import PAGES

ROOT = Path(__file__).resolve().parents[2]
TEMPLATES = ROOT / "templates"
ALL = sorted(str(path.relative_to(TEMPLATES)) for path in TEMPLATES.rglob("*.html"))
FROM_FLASK = {"shell", "request", "session", "g", "config"}


def used(environment, name, seen=None):
    """Every name that a template and those it extends or includes take from the page."""
    seen = seen if seen is not None else set()
    if name in seen:
        return set()
    seen.add(name)
    tree = environment.parse((TEMPLATES / name).read_text("utf-8"))
    names = meta.find_undeclared_variables(tree) - set(imported_within(tree))
    for node in tree.find_all((nodes.Extends, nodes.Include)):
        if isinstance(node.template, nodes.Const):
            inner = used(environment, node.template.value, seen)
            names |= inner - (set(given_within(tree)) if isinstance(node, nodes.Include) else set())
    return names - set(environment.globals) - FROM_FLASK


def imported_within(tree):
    """The macros that a template imports; its blocks see them too."""
    for node in tree.find_all((nodes.FromImport, nodes.Import)):
        for name in getattr(node, "names", []) or [node.target]:
            yield name[1] if isinstance(name, tuple) else name


def given_within(tree):
    """Names that a template itself gives to what it includes."""
    for node in tree.find_all(nodes.With):
        yield from (target.name for target in node.targets)
    for node in tree.find_all((nodes.Assign, nodes.For)):
        yield from (name.name for name in node.target.find_all(nodes.Name))
        if isinstance(node.target, nodes.Name):
            yield node.target.name


@pytest.mark.parametrize("template", sorted(PAGES))
def test_a_page_has_what_its_template_uses_and_no_more(app, template):
    declared = {field.name for field in fields(PAGES[template])}
    assert used(app.jinja_env, template) == declared


def test_every_page_in_the_folder_is_declared():
    """Macros, what other pages include, and the guide's chapters are parts of pages; papers are no pages."""
    texts = [(TEMPLATES / name).read_text("utf-8") for name in ALL]
    parts = {
        part for text in texts for part in re.findall(r'{%-? (?:extends|include|from|import) "([^"]+)"', text)
    }
    pages = {name for name in ALL if not name.startswith(("macros/", "papers/", "guide/"))} - parts
    assert pages <= set(PAGES)
    assert all((TEMPLATES / name).is_file() for name in PAGES)


@pytest.mark.parametrize("template", [name for name in ALL if not name.startswith("papers/")])
def test_every_word_a_person_sees_is_translated(app, template):
    """What stands in a template outside its tags and its expressions has no letters."""
    tree = app.jinja_env.parse((TEMPLATES / template).read_text("utf-8"))
    for block in tree.find_all(nodes.Block):
        if block.name == "page_class":  # a name for the style sheet
            block.body = []
    text = "".join(
        part.data if isinstance(part, nodes.TemplateData) else "0"
        for output in tree.find_all(nodes.Output)
        for part in output.nodes
        if isinstance(part, nodes.TemplateData | nodes.Expr)
    )
    text = re.sub(r"<(pre|code)\b.*?</\1>", " ", text, flags=re.DOTALL)
    bare = re.sub(r"""[\w-]+="[^"]*"|<[^>]*>|&[a-z]+;|<!--.*?-->""", " ", text, flags=re.DOTALL)
    words = re.findall(r"[^\W\d_]{2,}", re.sub(r"<[^<]*$|^[^>]*>", " ", bare))
    assert not words, words
    shown = re.findall(r'\s(?:aria-label|title|alt|placeholder)="([^"0]*[^\W\d_][^"]*)"', text)
    assert not shown, shown
