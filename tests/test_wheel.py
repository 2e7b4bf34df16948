"""A wheel built from the checkout works outside it."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent

ASK = """
import asyncio, sys
import httpx, server
from server.app import create_app
from server.pages.assets import SAMPLE_SESSIONS, asset_url
from server.settings import Settings

async def ask(app):
    transport = httpx.ASGITransport(app)
    async with httpx.AsyncClient(transport=transport, base_url="http://bench.test") as http:
        for path in ("/sign-in", asset_url("oddcup.css")):
            print((await http.get(path)).status_code)

app = create_app(Settings("sqlite:///" + sys.argv[1]))
asyncio.run(ask(app))
print(server.__file__)
print(len(list(SAMPLE_SESSIONS.glob("*.json"))))
"""


@pytest.fixture(scope="module")
def outside(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder far from the checkout, with the built wheel installed in ``site``."""
    folder = tmp_path_factory.mktemp("outside")
    for command in (
        ["build", "--wheel", "--no-isolation", "--outdir", str(folder), str(ROOT)],
        ["pip", "install", "--quiet", "--no-deps", "--no-index", "--no-compile",
         "--disable-pip-version-check", "--root-user-action", "ignore",
         "--find-links", str(folder), "--target", str(folder / "site"), "oddcup"],
    ):  # fmt: skip
        _run(folder, "-m", *command)
    return folder


def _run(folder: Path, *arguments: str) -> str:
    done = subprocess.run(
        [sys.executable, *arguments],
        cwd=folder,
        env=os.environ | {"PYTHONPATH": str(folder / "site")},
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout


def test_an_installed_wheel_serves_its_pages_and_static_files(outside: Path) -> None:
    page, style, module, samples = _run(outside, "-c", ASK, str(outside / "db")).split()
    assert (page, style) == ("200", "200")
    assert module.startswith(str(outside / "site"))
    assert int(samples) == len(list((ROOT / "sample_sessions").glob("*.json")))


def test_an_installed_wheel_has_the_command(outside: Path) -> None:
    assert "Usage: oddcup" in _run(outside, "-m", "server", "--help")
    assert (outside / "site" / "bin" / "oddcup").is_file()


def test_an_installed_wheel_brings_the_sheets_to_start_from(outside: Path) -> None:
    count = "from server.sheets.starters import list_starters; print(len(list_starters()))"
    kept = list((ROOT / "server" / "sheets" / "starters").glob("*.json"))
    assert int(_run(outside, "-c", count)) == len(kept) > 0


def test_a_wheel_carries_no_tests(outside: Path) -> None:
    names = {one.name for one in (outside / "site").iterdir()}
    assert {name for name in names if not name.endswith(".dist-info")} == {"bin", "server"}
