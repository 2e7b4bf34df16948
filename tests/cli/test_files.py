"""Tastings written to files and taken in from them."""

import hashlib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from server.blinding.events import Kind
from tests.playing import Play


@pytest.fixture
def out(tmp_path: Path) -> Path:
    """A folder to write to."""
    (tmp_path / "out").mkdir()
    return tmp_path / "out"


@pytest.fixture
def export(oddcup: Callable[..., Any], play: Play, data: Path, out: Path) -> Callable[..., Any]:
    """Export the tasting by its short code."""
    return lambda *more: oddcup("export", play.made.code, "--to", out, "--data-dir", data, *more)


def test_before_unsealing_only_the_document_is_written(
    export: Callable[..., Any], play: Play, out: Path
) -> None:
    ran = export()
    assert ran.code == 0
    assert [one.name for one in out.iterdir()] == [f"Tasting-{play.made.code}.oddcup.json"]
    assert ran.out.split() == [str(one) for one in out.iterdir()]


def test_after_unsealing_the_hash_of_the_second_file_is_the_seal(
    export: Callable[..., Any], play: Play, out: Path
) -> None:
    play.unseal()
    export()
    text = (out / f"Tasting-{play.made.code}.sealed.json").read_bytes()
    assert hashlib.sha256(text).hexdigest() == play.made.seal


def test_what_is_exported_can_be_verified(
    export: Callable[..., Any], oddcup: Callable[..., Any], play: Play
) -> None:
    play.fill(3)
    play.unseal()
    document, sealed_text = export().out.split()
    assert [oddcup("verify", one).code for one in (document, sealed_text)] == [0, 0]


def test_taking_the_key_along_goes_on_record(export: Callable[..., Any], play: Play) -> None:
    ran = export("--with-key", "--who", "present", "--reason", "two trays fell")
    assert len(ran.out.split()) == 2
    assert [look.kind for look in play.record.looks] == [Kind.KEY_LOOKED, Kind.RESULTS_LOOKED]


def test_an_unknown_tasting_is_one_line(oddcup: Callable[..., Any], data: Path) -> None:
    ran = oddcup("export", "NOCODE", "--data-dir", data)
    assert (ran.code, ran.out, ran.err) == (1, "", "oddcup: There is no tasting NOCODE.\n")


def test_a_tasting_moves_from_one_house_to_another(
    oddcup: Callable[..., Any], document: Path, play: Play, tmp_path: Path
) -> None:
    there = ["--data-dir", tmp_path / "there"]
    assert oddcup("import", document, *there).out == f"{play.made.id}\n"
    assert oddcup("export", play.made.id, "--to", tmp_path, *there).code == 0
    written = tmp_path / f"Tasting-{play.made.code}.oddcup.json"
    assert written.read_bytes() == document.read_bytes()


def test_a_tasting_is_taken_in_once(oddcup: Callable[..., Any], document: Path, data: Path) -> None:
    ran = oddcup("import", document, "--data-dir", data)
    assert (ran.code, ran.err) == (1, "oddcup: This tasting is here already.\n")


def test_a_changed_document_is_not_taken_in(
    oddcup: Callable[..., Any], document: Path, tmp_path: Path
) -> None:
    document.write_bytes(document.read_bytes().replace(b"absent", b"relay!"))
    ran = oddcup("import", document, "--data-dir", tmp_path / "there")
    assert (ran.code, ran.err.count("\n")) == (1, 1)
    assert "does not hold" in ran.err


def test_a_file_in_the_way_is_one_line_and_leaves_no_half_written_one(
    export: Callable[..., Any], play: Play, out: Path
) -> None:
    (out / f"Tasting-{play.made.code}.oddcup.json").mkdir()
    ran = export()
    assert (ran.code, ran.err.count("\n")) == (1, 1)
    assert len(list(out.iterdir())) == 1
