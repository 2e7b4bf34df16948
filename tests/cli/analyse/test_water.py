"""A tasting held against a dilution, from exported files alone."""

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from server.pages.assets import SAMPLE_SESSIONS
from server.tastings.bench import Bench
from server.tastings.exporting import export_tasting
from tests.playing import Play

TABLE = SAMPLE_SESSIONS / "lantern-row-upside-down.json"


@pytest.fixture
def export(
    bench: Bench, make_tasting: Callable[..., Any], tmp_path: Path
) -> Callable[..., tuple[Path, str]]:
    """Play a test of 6 people and 3 rounds; its exported file, and its seal."""

    def play(right: int, **changed: str) -> tuple[Path, str]:
        played = Play(bench, make_tasting(**changed))
        played.fill(right)
        played.unseal()
        file = tmp_path / f"{played.made.id}.json"
        file.write_bytes(export_tasting(bench, played.made.id).document)
        return file, played.made.seal

    return play


def test_as_many_right_answers_as_a_dilution_gives_are_worth_it(
    oddcup: Callable[..., Any], export: Callable[..., tuple[Path, str]]
) -> None:
    (test, _), (water, seal) = export(12), export(12, dilution_percent="10")
    ran = oddcup("analyse", "water", test, water)
    assert (ran.code, ran.err) == (0, "")
    assert ran.out.startswith("About as noticeable as 10% added water (95% limits ")
    assert seal in ran.out
    said = json.loads(oddcup("analyse", "water", test, water, "--json").out)
    assert said["ruler"]["percent"] == pytest.approx(10)


def test_what_cannot_be_held_against_a_dilution_is_refused_with_its_reason(
    oddcup: Callable[..., Any], export: Callable[..., tuple[Path, str]]
) -> None:
    (test, _), (water, _) = export(12), export(12, dilution_percent="10")
    assert "it is a dilution itself" in oddcup("analyse", "water", water, water).err
    assert "none of the files has a known dilution" in oddcup("analyse", "water", test).err
    assert "is a scored table" in oddcup("analyse", "water", TABLE).err


def test_a_file_that_was_changed_is_refused(
    oddcup: Callable[..., Any], export: Callable[..., tuple[Path, str]]
) -> None:
    file, _ = export(12)
    file.write_bytes(file.read_bytes().replace(b"triangle", b"triangel", 1))
    assert "does not hold" in oddcup("analyse", "water", file).err
