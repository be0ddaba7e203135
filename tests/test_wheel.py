"""The built wheel carries everything that it needs: templates, migrations, translations, the demo; and works from there."""

import os
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]
WORKING = """
import sys
sys.path.insert(0, sys.argv[1])
import shop
from shop import places
from shop.assemble import application, migrated_store
from shop.settings import read_settings
from shop.words import languages
from pathlib import Path

inside = Path(sys.argv[1])
assert Path(shop.__file__).is_relative_to(inside), shop.__file__
for place in (places.templates(), places.migrations(), places.translations()):
    assert place.is_relative_to(inside) and any(place.iterdir()), place
settings = read_settings({}, instance=Path(sys.argv[2]))
store = migrated_store(settings)
visitor = application(settings, store).test_client()
page = visitor.get("/", follow_redirects=True)
assert page.status_code == 200, page.status
assert visitor.get("/static/thriftloom.css").status_code == 200
assert "sv" in languages()
print("works")
"""


@pytest.fixture(scope="module")
def unpacked(tmp_path_factory):
    """The wheel, built from this checkout and unpacked."""
    folder = tmp_path_factory.mktemp("wheel")
    building = [sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", str(folder)]
    subprocess.run(building, cwd=ROOT, check=True, capture_output=True)  # noqa: S603 - our own command
    (wheel,) = folder.glob("*.whl")
    with zipfile.ZipFile(wheel) as packed:
        packed.extractall(folder / "inside")
    return folder / "inside"


def test_every_file_of_the_checkout_that_runs_is_in_the_wheel(unpacked):
    for folder, within in (("shop", "shop"), ("seed_demo", "seed_demo"), ("templates", "shop/templates"), ("migrations", "shop/migrations")):
        for path in (ROOT / folder).rglob("*"):
            if path.is_file() and "__pycache__" not in path.parts:
                assert (unpacked / within / path.relative_to(ROOT / folder)).is_file(), path


def test_it_carries_no_tests_and_no_shop_of_ours(unpacked):
    assert {path.name for path in unpacked.iterdir() if path.suffix != ".dist-info"} == {"shop", "seed_demo"}


def test_a_shop_opens_from_the_wheel_alone(unpacked, tmp_path):
    command = [sys.executable, "-P", "-c", WORKING, str(unpacked), str(tmp_path / "instance")]
    bare = {key: value for key, value in os.environ.items() if not key.startswith(("THRIFTLOOM", "PYTHONPATH"))}
    ran = subprocess.run(command, cwd=tmp_path, env=bare, capture_output=True, text=True, check=False)  # noqa: S603
    assert ran.stdout.strip() == "works", ran.stderr
