"""Files checked and analysed alone, without database and network."""

import hashlib
import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from server.blinding.seal import canonical
from server.pages.assets import SAMPLE_SESSIONS
from tests.playing import Play


@pytest.fixture
def sealed_text(play: Play, tmp_path: Path) -> Path:
    """The sealed text alone, as it is handed out after unsealing."""
    file = tmp_path / "evening.sealed.json"
    file.write_bytes(canonical(play.made.sealed))
    return file


def test_a_document_that_holds_is_told_with_its_seal(
    oddcup: Callable[..., Any], document: Path, play: Play
) -> None:
    ran = oddcup("verify", document)
    assert (ran.code, ran.err) == (0, "")
    assert f"Seal {play.made.seal}" in ran.out
    assert "Plan, layout and key have this seal." in ran.out


def test_a_tasting_alone_is_told_where_its_key_came_from(oddcup: Callable[..., Any]) -> None:
    ran = oddcup("verify", SAMPLE_SESSIONS / "cotton-bag-alone.json")
    assert ran.code == 0
    assert "Plan and layout have this seal; the key came later" in ran.out


def test_a_scored_table_is_analysed_from_its_file(oddcup: Callable[..., Any]) -> None:
    file = SAMPLE_SESSIONS / "lantern-row-upside-down.json"
    assert "Seat 4 goes against the rest in “Sourness”" in oddcup("analyse", "tasting", file).out
    told = json.loads(oddcup("analyse", "tasting", file, "--json").out)
    assert told["finding"]["verdict"] == "differ"
    assert told["analysis"]["numbers"]["attributes"]["sour"]["against"] == ["seat 4"]


def test_a_tasting_alone_is_analysed_from_its_file(oddcup: Callable[..., Any]) -> None:
    ran = oddcup("analyse", "tasting", SAMPLE_SESSIONS / "cotton-bag-alone.json")
    assert "Blinding level: 1, solo, shuffled" in ran.out
    assert "One mark was lost: its answer cannot be judged" in ran.out


def test_before_unsealing_a_document_holds_without_its_key(
    oddcup: Callable[..., Any], write: Callable[[], Path]
) -> None:
    ran = oddcup("verify", write())
    assert ran.code == 0
    assert "The key is not in this document" in ran.out


@pytest.mark.parametrize("place", [0.001, 0.2, 0.5, 0.8, 0.999])
def test_a_flipped_byte_is_found(oddcup: Callable[..., Any], document: Path, place: float) -> None:
    text = bytearray(document.read_bytes())
    text[int(place * len(text))] ^= 1
    document.write_bytes(text)
    ran = oddcup("verify", document)
    assert (ran.code, ran.err) == (1, "")
    assert ran.out.strip()


@pytest.mark.parametrize("text", [b"", b"tea", b"\xff\xfe", b"{}", b'{"salt": 1}', b"[" * 99_999])
def test_any_other_file_does_not_hold(
    oddcup: Callable[..., Any], tmp_path: Path, text: bytes
) -> None:
    (tmp_path / "file").write_bytes(text)
    assert oddcup("verify", tmp_path / "file").code == 1


def test_a_document_is_compared_with_the_seal_from_the_wall(
    oddcup: Callable[..., Any], document: Path, play: Play
) -> None:
    shown = [play.made.seal, play.made.seal[:16], f"{play.made.seal[:4]} {play.made.seal[4:16]}"]
    assert [oddcup("verify", document, "--seal", one).code for one in shown] == [0, 0, 0]
    assert oddcup("verify", document, "--seal", "0" * 64).code == 1


def test_too_few_digits_of_a_seal_prove_nothing(
    oddcup: Callable[..., Any], document: Path, play: Play
) -> None:
    assert oddcup("verify", document, "--seal", play.made.seal[:8]).code == 2


def test_a_sealed_text_is_told_with_the_hash_that_sha256sum_prints(
    oddcup: Callable[..., Any], sealed_text: Path
) -> None:
    ran = oddcup("verify", sealed_text)
    assert ran.code == 0
    assert f"Seal {hashlib.sha256(sealed_text.read_bytes()).hexdigest()}" in ran.out


def test_a_sealed_text_is_known_by_its_content_too(
    oddcup: Callable[..., Any], sealed_text: Path
) -> None:
    renamed = sealed_text.rename(sealed_text.with_name("download"))
    assert oddcup("verify", renamed).code == 0


def test_a_sealed_text_is_compared_with_the_seal_from_the_wall(
    oddcup: Callable[..., Any], sealed_text: Path, play: Play
) -> None:
    seals = (play.made.seal, "0" * 64)
    assert [oddcup("verify", sealed_text, "--seal", one).code for one in seals] == [0, 1]


def test_a_changed_sealed_text_has_another_seal(
    oddcup: Callable[..., Any], sealed_text: Path, play: Play
) -> None:
    sealed_text.write_bytes(sealed_text.read_bytes().replace(b"green", b"black"))
    assert oddcup("verify", sealed_text, "--seal", play.made.seal).code == 1


def test_every_sample_session_holds(oddcup: Callable[..., Any]) -> None:
    files = sorted(SAMPLE_SESSIONS.glob("*.json"))
    assert [file.name for file in files if oddcup("verify", file).code != 0] == []


def test_a_finding_is_told_in_words(oddcup: Callable[..., Any], document: Path) -> None:
    ran = oddcup("analyse", "tasting", document)
    assert (ran.code, ran.err) == (0, "")
    assert "Does the fresh cartridge change our green tea?" in ran.out


def test_a_finding_is_told_in_json_with_the_counts(
    oddcup: Callable[..., Any], document: Path
) -> None:
    told = json.loads(oddcup("analyse", "tasting", document, "--json").out)
    counts = told["analysis"]["counts"]
    assert (counts["correct"], counts["trials"]) == (3, 4)


def test_a_tasting_still_sealed_has_no_finding(
    oddcup: Callable[..., Any], write: Callable[[], Path]
) -> None:
    ran = oddcup("analyse", "tasting", write())
    assert (ran.code, ran.out, ran.err.count("\n")) == (2, "", 1)
    assert "no key" in ran.err


def test_a_document_that_does_not_hold_has_no_finding(
    oddcup: Callable[..., Any], document: Path
) -> None:
    document.write_bytes(document.read_bytes().replace(b"absent", b"relay!"))
    ran = oddcup("analyse", "tasting", document)
    assert (ran.code, ran.out, ran.err.count("\n")) == (1, "", 1)
