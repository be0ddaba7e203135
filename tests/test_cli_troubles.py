"""What the command says when files, addresses and databases are broken: a sentence and a 2, never a stack, nothing a terminal obeys."""

import io
import logging
import stat
import sys
import types
from pathlib import Path

import pytest

from shop import cli
from shop.core.asking import plain
from shop.settings import FILE_NAME, KEY_FILE, read_settings
from shop.store.engine import Store, StoreUnavailable
from shop.usecases import shop as shop_room

UNSEEN = "\x1b\x07\x9b\u202e\u2066\u200f\u061c"


@pytest.fixture(autouse=True)
def instance(tmp_path, monkeypatch):
    """An English terminal, and an instance folder of its own."""
    for name in ("LC_ALL", "LC_MESSAGES", "LANG", "THRIFTLOOM_DATABASE_URL"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setenv("THRIFTLOOM_INSTANCE", str(tmp_path / "instance"))
    folder = tmp_path / "instance"
    folder.mkdir(mode=0o700)
    return folder


def refused(capsys, *words):
    """What is said on standard error when the command refuses."""
    assert cli.main(list(words)) == 2
    said = capsys.readouterr().err
    assert said.strip()
    assert "Traceback" not in said
    return said


def test_a_key_with_signs_that_no_key_has(instance, capsys):
    (instance / KEY_FILE).write_bytes(b"\xff" * 64)
    assert "holds signs that no key has" in refused(capsys, "migrate")


@pytest.mark.parametrize(
    "content",
    ["x = " + "[" * 5000 + "]" * 5000, "port = " + "9" * 5000, "x = {" * 3000],
    ids=["deep", "long", "open"],
)
def test_settings_that_cannot_be_read(instance, capsys, content):
    (instance / FILE_NAME).write_text(content)
    assert FILE_NAME in refused(capsys, "migrate")


def test_a_number_of_thousands_of_figures_in_another_spelling(instance, capsys):
    (instance / FILE_NAME).write_text("port = 0x" + "f" * 5000)
    assert "is not a port" in refused(capsys, "migrate")


def test_settings_that_begin_with_a_mark_of_byte_order(instance):
    (instance / FILE_NAME).write_bytes(b"\xef\xbb\xbfport = 9001\n")
    assert cli.main(["migrate"]) == 0


def test_a_file_that_is_no_database(instance, capsys):
    (instance / "thriftloom.sqlite3").write_bytes(b"This is a letter, and no database at all. " * 200)
    assert "The database does not answer" in refused(capsys, "migrate")


def test_a_damaged_database(instance, capsys):
    assert cli.main(["migrate"]) == 0
    path = instance / "thriftloom.sqlite3"
    path.write_bytes(path.read_bytes()[:4096] + b"\x55" * 60_000)
    capsys.readouterr()
    assert "The database does not answer" in refused(capsys, "migrate")
    store = Store(f"sqlite:///{path}")
    with pytest.raises(StoreUnavailable):
        shop_room.current(store)
    store.close()


@pytest.mark.parametrize(
    "url",
    [
        "postgresql://u@h:port/x", "postgresql://[::1/x", "postgresql://", "postgresql:///", "postgresql://h", "postgresql://h/",
        "postgresql://h:70000/x", "postgresql://h:0/x", "postgresql://a]b/x", "sqlite:///x.db?timeout=abc",
    ],
)  # fmt: skip
def test_an_address_that_is_none(monkeypatch, capsys, url):
    monkeypatch.setenv("THRIFTLOOM_DATABASE_URL", url)
    assert "That is not the URL of a database" in refused(capsys, "migrate")


def test_an_option_that_the_server_does_not_know(monkeypatch, capsys):
    monkeypatch.setenv("THRIFTLOOM_DATABASE_URL", "postgresql://127.0.0.1:1/root?foo=bar")
    assert "The database does not answer" in refused(capsys, "migrate")


@pytest.mark.parametrize(
    "url",
    ["postgresql:///shop", "postgresql://ida:p/w@db:5433/shop?sslmode=require", "postgresql://ida@[::1]:5432/shop", "postgresql:///shop?host=/run"],
)  # fmt: skip
def test_addresses_that_are_good_are_left_alone(tmp_path, url):
    found = read_settings({"THRIFTLOOM_DATABASE_URL": url}, instance=tmp_path).database_url
    assert found == url.replace("postgresql://", "postgresql+psycopg://")


@pytest.mark.parametrize(
    "content",
    [
        f'"ru{UNSEEN}g" = 1', f'[rug]\n"wid{UNSEEN}th" = 1', f'[rug]\nwidth = "{UNSEEN}nonsense"', f'measured = ["{UNSEEN}x"]',
        f'[loom]\nkind = "{UNSEEN}"', f'[weft]\njoins = "{UNSEEN}"', f'[loom]\nkind = "shaft"\nyarn = "{UNSEEN}"',
        f'[shop]\ncurrency = "{UNSEEN[:3]}"', f'[shop]\nlocale = "{UNSEEN}"',
    ],
)  # fmt: skip
def test_nothing_that_a_terminal_obeys_is_printed_of_what_is_wrong(tmp_path, capsys, content):
    rug = tmp_path / "rug.toml"
    escaped = "".join(f"\\u{ord(sign):04x}" if sign in UNSEEN else sign for sign in content)
    rug.write_text(escaped)
    said = refused(capsys, "reckon", str(rug))
    assert not set(said) & set(UNSEEN)


def test_nothing_that_a_terminal_obeys_is_printed_of_a_name(tmp_path, capsys):
    rug = tmp_path / "rug.toml"
    hidden = "".join(f"\\u{ord(sign):04x}" for sign in UNSEEN)
    rug.write_text(f'[loom]\nname = "Fr{hidden}ame"\n[[cloth]]\nname = "She{hidden}et"\npaid = "4.50"\n')
    for more in ([], ["--json"], ["--formulas"]):
        assert cli.main(["reckon", str(rug), *more]) == 0
        said = capsys.readouterr().out
        assert not set(said) & set(UNSEEN)
    assert plain("Vävd\tmatta\n") == "Vävd matta"


def test_a_name_of_a_file_is_printed_without_what_a_terminal_obeys(tmp_path, capsys):
    said = refused(capsys, "reckon", str(tmp_path / f"no{UNSEEN}ne.toml"))
    assert not set(said) & set(UNSEEN)


def fed(monkeypatch, content):
    monkeypatch.setattr(sys, "stdin", types.SimpleNamespace(buffer=io.BytesIO(content)))


def test_too_much_on_standard_input_is_refused_and_not_cut(monkeypatch, capsys):
    fed(monkeypatch, b"# a long remark\n" * 70_000)
    assert "too large to describe a rug" in refused(capsys, "reckon", "-")


def test_what_never_ends_is_refused(capsys):
    assert "too large to describe a rug" in refused(capsys, "reckon", "/dev/zero")


def test_a_mark_of_byte_order_at_the_head_is_fine(monkeypatch, tmp_path, capsys):
    content = b'\xef\xbb\xbf[rug]\nwidth = "25 in"\nlength = "37.5 in"\n'
    fed(monkeypatch, content)
    (tmp_path / "rug.toml").write_bytes(content)
    assert cli.main(["reckon", "-"]) == 0
    first = capsys.readouterr().out
    assert cli.main(["reckon", str(tmp_path / "rug.toml")]) == 0
    assert capsys.readouterr().out == first


def test_a_rug_nested_too_deep(monkeypatch, capsys):
    fed(monkeypatch, b"x = " + b"[" * 5000 + b"]" * 5000)
    refused(capsys, "reckon", "-")


def test_no_value_is_written_into_a_log(sqlite_store, caplog):
    with caplog.at_level(logging.INFO, "sqlalchemy.engine"), sqlite_store.reading() as session:
        session.connection().exec_driver_sql("SELECT ?", ("Inga Lind",))
    assert "SELECT ?" in caplog.text
    assert "Inga Lind" not in caplog.text


def test_the_folder_and_its_files_are_for_the_owner_alone(instance):
    assert cli.main(["migrate"]) == 0
    for path in Path(instance).iterdir():
        assert stat.S_IMODE(path.stat().st_mode) == 0o600, path.name
