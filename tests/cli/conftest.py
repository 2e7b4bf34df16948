"""The command line as a person meets it: exit code, what it prints, what it complains of."""

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

from server.cli.main import run
from server.tastings.bench import Bench
from server.tastings.exporting import export_tasting
from tests.playing import Play


@dataclass(frozen=True)
class Ran:
    """What became of a command."""

    code: int
    out: str
    err: str


@pytest.fixture
def oddcup(capsys: pytest.CaptureFixture[str]) -> Callable[..., Ran]:
    """Run a command in this process."""

    def oddcup(*arguments: str | Path) -> Ran:
        capsys.readouterr()
        code = run([str(one) for one in arguments])
        return Ran(code, *capsys.readouterr())

    return oddcup


@pytest.fixture
def play(bench: Bench, make_tasting: Callable[..., Any]) -> Play:
    """A sealed tasting of two assessors and two rounds, in the folder ``data``."""
    return Play(bench, make_tasting(assessors="2", rounds="2", spare_seats="1"))


@pytest.fixture
def data(bench: Bench) -> Path:
    """The data folder of the test's bench."""
    return Path(str(bench.engine.url.database)).parent


@pytest.fixture
def write(play: Play, tmp_path: Path) -> Callable[[], Path]:
    """Write the tasting as it stands as a document."""

    def write() -> Path:
        file = tmp_path / "evening.oddcup.json"
        file.write_bytes(export_tasting(play.bench, play.made.id).document)
        return file

    return write


@pytest.fixture
def document(play: Play, write: Callable[[], Path]) -> Path:
    """The document of the unsealed tasting, three of four answers right."""
    play.fill(3)
    play.unseal()
    return write()
