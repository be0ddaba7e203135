"""Every setting of a running Thriftloom: its default, its environment variable, its meaning.

Values come from the environment, then from ``thriftloom.toml`` in the instance folder, then from the
defaults. The instance folder holds what belongs to one shop on one machine: that file, the secret key and,
unless a URL says otherwise, the database.
"""

from __future__ import annotations

import difflib
import os
import re
import secrets
import tomllib
from collections.abc import Callable, Mapping
from contextlib import suppress
from dataclasses import dataclass, field, fields
from pathlib import Path
from typing import Any, Final

from shop.core.asking import written
from shop.core.errors import Problem, Refusal
from shop.core.letter import sender

PREFIX: Final = "THRIFTLOOM_"
FILE_NAME: Final = "thriftloom.toml"
KEY_FILE: Final = "secret_key"
DATABASE_FILE: Final = "thriftloom.sqlite3"
_SERVER: Final = re.compile(
    r"(?:[^:/@]*(?::[^@]*)?@)?(?:\[[0-9A-Fa-f:.%]+\]|[^/:@?\[\]]*)(?::(?P<port>[0-9]{1,5}))?/[^/?]+(?:\?.*)?"
)
"""USER:PASSWORD@HOST:PORT/NAME?OPTIONS; only the name must be there."""
_ADDRESS: Final = re.compile(
    r"https?://(?:\[[0-9A-Fa-f:.]+\]|[A-Za-z0-9](?:[A-Za-z0-9.-]*[A-Za-z0-9])?)(?::(?P<port>[0-9]{1,5}))?"
    r"(?:/[A-Za-z0-9._~-]+)*",
    re.IGNORECASE,
)
LONGEST_ADDRESS: Final = 120
"""A longer one would make a code too fine to print on a label."""
LOG_LEVELS: Final = ("DEBUG", "INFO", "WARNING", "ERROR", "CRITICAL")


class SettingsError(Refusal):
    """Settings that cannot be used; each problem's ``where`` names the variable or the file."""


def _port(text: str) -> int:
    if not re.fullmatch(r"[0-9]{1,5}", text) or not 1 <= int(text) <= 65535:
        raise SettingsError(Problem("setting.port"))
    return int(text)


def _count(text: str) -> int:
    if not re.fullmatch(r"[0-9]{1,4}", text) or not 1 <= int(text) <= 1000:
        raise SettingsError(Problem("setting.count"))
    return int(text)


def _yes_or_no(text: str) -> bool:
    answer = {"true": True, "yes": True, "1": True, "false": False, "no": False, "0": False}.get(text.lower())
    if answer is None:
        raise SettingsError(Problem("setting.yes_or_no"))
    return answer


def _host(text: str) -> str:
    if not re.fullmatch(r"[A-Za-z0-9.:_-]{1,255}", text):
        raise SettingsError(Problem("setting.host"))
    return text


def _mail_host(text: str) -> str:
    if not re.fullmatch(r"[A-Za-z0-9.:_-]{1,255}", text):
        raise SettingsError(Problem("setting.smtp_host"))
    return text


def _mail_from(text: str) -> str:
    if sender(text) is None:
        raise SettingsError(Problem("setting.mail_from"))
    return text


def _public_address(text: str) -> str:
    """An address of the web without what would follow it: no slash at its end, no query."""
    address = text.rstrip("/")
    found = _ADDRESS.fullmatch(address)
    if found is None or len(address) > LONGEST_ADDRESS or int(found["port"] or 1) not in range(1, 65536):
        raise SettingsError(Problem("setting.public_address"))
    return address


def _log_level(text: str) -> str:
    if text.upper() not in LOG_LEVELS:
        raise SettingsError(Problem("setting.log_level"))
    return text.upper()


def _secret(text: str) -> str:
    if len(text) < 32:
        raise SettingsError(Problem("setting.secret_key"))
    return text


def _database(text: str) -> str:
    """A database URL in the one spelling that the store understands."""
    for start in ("postgresql+psycopg://", "postgresql://", "postgres://"):
        if text.startswith(start):
            server = _SERVER.fullmatch(text.removeprefix(start))
            if server is None or int(server["port"] or 1) not in range(1, 65536):
                raise SettingsError(Problem("setting.database_url"))
            return f"postgresql+psycopg://{server[0]}"
    path = text.removeprefix("sqlite:///")
    if path == text or path in ("", ":memory:") or path.startswith("file:") or "?" in path:
        raise SettingsError(Problem("setting.database_url"))
    return text


def _setting(read: Callable[[str], Any], meaning: str, default: str, *, shown: bool = True) -> Any:
    return field(repr=shown, metadata={"read": read, "meaning": meaning, "default": default})


@dataclass(frozen=True, slots=True, kw_only=True)
class Settings:
    """What a running Thriftloom is told from outside. ``described()`` lists all of it."""

    instance: Path
    database_url: str = _setting(
        _database,
        "sqlite:///FILE or postgresql://USER@HOST/NAME. Default: a file in the instance folder.",
        "",
        shown=False,
    )
    secret_key: str = _setting(
        _secret,
        "Signs the session cookie; at least 32 characters. Default: made on first start, kept with mode 600.",
        "",
        shown=False,
    )
    host: str = _setting(_host, "The address to listen on.", "127.0.0.1")
    port: int = _setting(_port, "The port to listen on, 1 to 65535.", "8000")
    cookie_secure: bool = _setting(
        _yes_or_no, "Whether the session cookie travels over HTTPS only: true or false.", "false"
    )
    sign_in_attempts: int = _setting(_count, "Attempts to sign in within the window, from one address.", "10")
    sign_in_minutes: int = _setting(_count, "The window for those attempts, in minutes.", "15")
    public_address: str = _setting(
        _public_address,
        "Where phones in the studio reach the shop, such as http://192.168.1.20:8000; the codes on labels open it. "
        "Default: the address by which the page that prints them was opened.",
        "",
    )
    smtp_host: str = _setting(_mail_host, "The mail server that letters go out through. Default: none, and no letter is sent.", "")
    smtp_port: int = _setting(_port, "The port of that server, 1 to 65535.", "587")
    smtp_user: str = _setting(str, "The name to sign in to it with. Default: no sign-in.", "")
    smtp_password: str = _setting(str, "The password that goes with the name.", "", shown=False)
    smtp_start_tls: bool = _setting(
        _yes_or_no, "Whether the line to it is encrypted by STARTTLS before anything is said: true or false.", "true"
    )
    mail_from: str = _setting(
        _mail_from, "Whom letters are from, such as Ida's rugs <ida@example.org>; needed with a mail server.", ""
    )
    log_level: str = _setting(_log_level, "How much is logged: DEBUG to CRITICAL.", "INFO")


@dataclass(frozen=True, slots=True)
class Described:
    """One setting as a person reads of it: its key in the file, its variable, its default, its meaning."""

    name: str
    variable: str
    default: str
    meaning: str


def described() -> tuple[Described, ...]:
    """Every setting, the instance folder first."""
    first = Described(
        "instance", f"{PREFIX}INSTANCE", "instance", "The folder of this shop's own files; environment only."
    )
    return (
        first,
        *(
            Described(one.name, PREFIX + one.name.upper(), one.metadata["default"], one.metadata["meaning"])
            for one in fields(Settings)
            if one.metadata
        ),
    )


def read_settings(environ: Mapping[str, str], *, instance: Path | None = None) -> Settings:
    """Gather the settings; makes the instance folder and the secret key where they are missing.

    Args:
        environ: the environment, such as ``os.environ``.
        instance: the instance folder, where the command decides it; else ``THRIFTLOOM_INSTANCE``, else
            ``instance`` under the current folder.

    Raises:
        SettingsError: ``setting.port``, ``setting.count``, ``setting.yes_or_no``, ``setting.host``,
            ``setting.public_address``, ``setting.smtp_host``, ``setting.mail_from``, ``setting.mail_from_missing``, ``setting.log_level``, ``setting.secret_key``, ``setting.key_file``, ``setting.database_url``, ``setting.unknown``,
            ``setting.file`` or ``setting.folder``.
    """
    folder = (instance or Path(environ.get(f"{PREFIX}INSTANCE") or "instance")).absolute()
    try:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    except OSError as error:
        raise SettingsError(_folder_problem(folder)) from error
    from_file = _read_file(folder / FILE_NAME)
    values = _gathered(environ, from_file)
    for name in ("public_address", "smtp_host", "smtp_user", "smtp_password", "mail_from"):
        values.setdefault(name, "")
    if values["smtp_host"] and not values["mail_from"]:
        raise SettingsError(Problem("setting.mail_from_missing", f"{PREFIX}MAIL_FROM"))
    values.setdefault("database_url", f"sqlite:///{folder / DATABASE_FILE}")
    if "secret_key" not in values:
        try:
            values["secret_key"] = _kept_key(folder / KEY_FILE)
        except OSError as error:
            raise SettingsError(_folder_problem(folder)) from error
    return Settings(instance=folder, **values)


def _gathered(environ: Mapping[str, str], from_file: Mapping[str, str]) -> dict[str, Any]:
    problems: list[Problem] = []
    values: dict[str, Any] = {}
    for one in fields(Settings):
        variable = PREFIX + one.name.upper()
        where, text = f"{FILE_NAME}:{one.name}", from_file.get(one.name)
        if environ.get(variable):
            where, text = variable, environ[variable]
        if text is None:
            text = one.metadata.get("default")
        if not (one.metadata and text):
            continue
        try:
            values[one.name] = one.metadata["read"](text.strip())
        except SettingsError as error:
            shown = text[:60] if one.repr else ""
            problems.append(Problem(error.problems[0].code, where, {"name": one.name, "text": shown}))
    if problems:
        raise SettingsError(*problems)
    return values


def _folder_problem(folder: Path) -> Problem:
    return Problem("setting.folder", f"{PREFIX}INSTANCE", {"text": str(folder)})


def _read_file(path: Path) -> dict[str, str]:
    try:
        text = path.read_text("utf-8-sig")
    except FileNotFoundError:
        return {}
    except (OSError, UnicodeDecodeError) as error:
        raise SettingsError(Problem("setting.file", FILE_NAME, {"text": str(error)[:120]})) from error
    try:
        table = tomllib.loads(text)
    except (ValueError, RecursionError) as error:  # also numbers of thousands of figures
        raise SettingsError(Problem("setting.file", FILE_NAME, {"text": str(error)[:120]})) from error
    known = [one.name for one in fields(Settings) if one.metadata]
    strangers = [name for name in table if name not in known]
    if strangers:
        raise SettingsError(*(_stranger(name, known) for name in strangers))
    return {name: _as_text(value) for name, value in table.items()}


def _stranger(name: str, known: list[str]) -> Problem:
    nearest = difflib.get_close_matches(name, known, 1, cutoff=0.0)[0]
    return Problem("setting.unknown", f"{FILE_NAME}:{name}", {"text": name[:60], "nearest": nearest})


def _as_text(value: object) -> str:
    return str(value).lower() if isinstance(value, bool) else written(value)


def _kept_key(path: Path) -> str:
    """The key in the file, made there first if need be; two first starts at once agree on one."""
    with suppress(FileNotFoundError):
        return _read_key(path)
    fresh = path.with_name(f".{path.name}.{secrets.token_hex(8)}")
    handle = os.open(fresh, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    try:
        with os.fdopen(handle, "w", encoding="ascii") as file:
            file.write(secrets.token_urlsafe(48))
            file.flush()
            os.fsync(file.fileno())
        with suppress(FileExistsError):  # somebody else was first: theirs is the key
            os.link(fresh, path)
    finally:
        fresh.unlink()
    return _read_key(path)


def _read_key(path: Path) -> str:
    try:
        key = path.read_text("ascii").strip()
    except UnicodeDecodeError as error:
        raise SettingsError(Problem("setting.key_file", path.name)) from error
    if len(key) < 32:
        raise SettingsError(Problem("setting.secret_key", str(path.name), {"name": "secret_key", "text": ""}))
    if path.stat().st_mode & 0o077:
        path.chmod(0o600)
    return key
