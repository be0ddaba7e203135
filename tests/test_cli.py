"""The command: what it says, where it says it, and that it never shows a stack."""

import socket
import sys
import types

import pytest

from shop import cli
from shop.commands import serve as serving
from shop.settings import read_settings
from shop.store.engine import Store
from shop.usecases import account
from shop.usecases import shop as shop_room
from shop.usecases.given import fresh_token


@pytest.fixture(autouse=True)
def _terminal(tmp_path, monkeypatch):
    """An English terminal, and an instance folder of its own."""
    for name in ("LC_ALL", "LC_MESSAGES", "LANG", "THRIFTLOOM_DATABASE_URL"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setenv("THRIFTLOOM_INSTANCE", str(tmp_path / "instance"))


@pytest.fixture
def typed(monkeypatch):
    """Puts lines on standard input."""

    def put(*lines):
        monkeypatch.setattr(
            sys, "stdin", types.SimpleNamespace(isatty=lambda: False, readline=iter(lines).__next__)
        )

    return put


def owner_of(tmp_path, folder="instance"):
    return Store(f"sqlite:///{tmp_path / folder / 'thriftloom.sqlite3'}")


def test_migrating_makes_the_database_and_says_so(tmp_path, capsys):
    assert cli.main(["migrate"]) == 0
    assert capsys.readouterr().out == "The database is up to date.\n"
    assert (tmp_path / "instance" / "thriftloom.sqlite3").is_file()


def test_an_account_is_made_and_its_password_changed(tmp_path, typed, now):
    typed("a first long password\n", "a second long password\n")
    assert cli.main(["account", "create", "astrid"]) == 0
    assert cli.main(["account", "password", "astrid"]) == 0
    store = owner_of(tmp_path)
    assert account.sign_in(store, name="astrid", password="a second long password", now=now).name == "astrid"
    store.close()


def test_what_cannot_be_is_said_plainly_and_ends_with_two(typed, capsys):
    typed("short\n", "a good long password\n", "a good long password\n")
    assert cli.main(["account", "create", "astrid"]) == 2
    assert "A password needs at least 12 characters." in capsys.readouterr().err
    assert cli.main(["account", "password", "nobody"]) == 2
    assert "There is no account of that name." in capsys.readouterr().err


def test_a_wrong_setting_is_said_plainly(monkeypatch, capsys):
    monkeypatch.setenv("THRIFTLOOM_PORT", "many")
    assert cli.main(["migrate"]) == 2
    assert "THRIFTLOOM_PORT: “many” is not a port." in capsys.readouterr().err


def test_a_database_out_of_reach_is_said_plainly(monkeypatch, capsys):
    monkeypatch.setenv("THRIFTLOOM_DATABASE_URL", "postgresql://nobody@127.0.0.1:1/none")
    assert cli.main(["migrate"]) == 2
    assert "The database does not answer:" in capsys.readouterr().err


def test_a_copy_is_never_made_over_a_file(tmp_path, capsys):
    cli.main(["migrate"])
    target = tmp_path / "copy.sqlite3"
    assert cli.main(["backup", str(target)]) == 0
    before = target.read_bytes()
    assert cli.main(["backup", str(target)]) == 2
    assert "is there already" in capsys.readouterr().err
    assert target.read_bytes() == before


def test_the_terminal_s_language_is_spoken(monkeypatch, capsys):
    monkeypatch.setenv("LANG", "sv_SE.UTF-8")
    assert cli.main(["migrate"]) == 0
    assert capsys.readouterr().out == "Databasen är uppdaterad.\n"


def test_a_port_in_use_is_said_plainly(capsys):
    with socket.socket() as other:
        other.bind(("127.0.0.1", 0))
        other.listen()
        port = other.getsockname()[1]
        assert cli.main(["serve", "--port", str(port)]) == 2
    assert f"Cannot listen on 127.0.0.1, port {port}" in capsys.readouterr().err


@pytest.fixture
def demo(monkeypatch):
    """A demo told by a very short story."""
    story = types.ModuleType("seed_demo.story")
    story.NAME, story.PASSWORD, story.times = "demo", "a demonstration of rugs", 0

    def build(store, now):
        story.times += 1
        shop = shop_room.ShopGiven(name="Demo")
        account.open_shop(
            store, name=story.NAME, password=story.PASSWORD, shop=shop, saving=fresh_token(), now=now
        )

    story.build = build
    import seed_demo  # noqa: PLC0415

    monkeypatch.setitem(sys.modules, "seed_demo.story", story)
    monkeypatch.setattr(seed_demo, "story", story, raising=False)
    monkeypatch.delitem(sys.modules, "shop.commands.demo", raising=False)
    return story


def test_the_demo_has_a_database_of_its_own_and_is_built_once(tmp_path, demo, capsys):
    for _ in range(2):
        assert cli.main(["demo", "--no-serve"]) == 0
        assert "Sign in as demo with the password a demonstration of rugs" in capsys.readouterr().out
    assert demo.times == 1
    assert (tmp_path / "instance" / "demo" / "thriftloom.sqlite3").is_file()
    assert not (tmp_path / "instance" / "thriftloom.sqlite3").exists()


def test_the_demo_is_not_built_into_another_shop(tmp_path, demo, monkeypatch, typed, capsys):
    typed("a good long password\n")
    cli.main(["account", "create", "astrid"])
    monkeypatch.setenv("THRIFTLOOM_DATABASE_URL", f"sqlite:///{tmp_path / 'instance' / 'thriftloom.sqlite3'}")
    assert cli.main(["demo", "--no-serve"]) == 2
    assert "belongs to another shop" in capsys.readouterr().err
    assert demo.times == 0


def test_the_command_line_decides_the_address(tmp_path):
    settings = read_settings({"THRIFTLOOM_PORT": "9001"}, instance=tmp_path)
    asked = types.SimpleNamespace(host=None, port=9002)
    assert serving.at_address(settings, asked).port == 9002
    assert serving.at_address(settings, types.SimpleNamespace(host="::1", port=None)).port == 9001


def test_without_a_verb_it_says_what_there_is(capsys):
    with pytest.raises(SystemExit) as ended:
        cli.main([])
    assert ended.value.code == 2
    assert "usage: thriftloom" in capsys.readouterr().err


def test_a_misspelt_name_in_a_file_is_told_once_with_the_file(tmp_path, capsys):
    file = tmp_path / "rug.toml"
    file.write_text('[rug]\nwidht = "30 in"\nlength = "-2 in"\n', "utf-8")
    assert cli.main(["reckon", str(file)]) == 2
    lines = capsys.readouterr().err.splitlines()
    assert lines[0] == f"{file}: “rug.widht” means nothing here. Did you mean “width”?"
    assert lines[1].startswith(f"{file}: rug.length: ")
    assert len(lines) == 2
