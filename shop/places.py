"""Where templates, migrations and translations lie, in a checkout or in an installed wheel.

In a checkout, templates and migrations lie beside the package; a wheel carries them inside it. An
editable install may leave a stale copy inside, so the place beside the package is looked at first, and
taken only where it is surely ours.
"""

from __future__ import annotations

from pathlib import Path

_PACKAGE = Path(__file__).resolve().parent


def templates() -> Path:
    """The folder of page and paper templates."""
    return _folder("templates")


def migrations() -> Path:
    """The folder of Alembic's environment and the migrations."""
    return _folder("migrations")


def translations() -> Path:
    """The folder of gettext catalogues; always inside the package."""
    return _PACKAGE / "translations"


def _folder(name: str) -> Path:
    beside = _PACKAGE.parent
    if (beside / "pyproject.toml").is_file() and (beside / name).is_dir():
        return beside / name
    return _PACKAGE / name
