"""The key: one module reads it, and few may ask that module."""

from pathlib import Path
from typing import Any

from sqlalchemy import Engine

from server.storage.engine import reading
from server.storage.key import read_key, read_sealed_text

SERVER = Path(__file__).parents[2] / "server"


def test_the_key_read_back_is_the_sealed_one(engine: Engine, stored: Any) -> None:
    with reading(engine) as db:
        assert read_key(db, stored.id) == stored.sealed.key


def test_the_key_of_a_round_covers_the_cups_of_that_round_alone(
    engine: Engine, stored: Any
) -> None:
    cups = {cup.id for one in stored.sealed.servings if one.round == 2 for cup in one.cups}
    with reading(engine) as db:
        assert set(read_key(db, stored.id, [2])) == cups


def test_the_key_of_no_round_is_empty(engine: Engine, stored: Any) -> None:
    with reading(engine) as db:
        assert read_key(db, stored.id, []) == {}


def test_the_sealed_text_comes_back_byte_for_byte(engine: Engine, stored: Any) -> None:
    with reading(engine) as db:
        assert read_sealed_text(db, stored.id) == stored.text


def _find_files(words: str) -> set[str]:
    return {
        str(path.relative_to(SERVER))
        for path in SERVER.rglob("*.py")
        if words in path.read_text(encoding="utf-8")
    }


def test_only_one_module_reads_the_key_table() -> None:
    """The tables module declares it, `write` fills it while sealing."""
    assert _find_files("CupTruth") == {"storage/tables.py", "storage/write.py", "storage/key.py"}


def test_only_one_module_reads_the_sealed_text() -> None:
    assert _find_files("Seal.text") == {"storage/key.py"}


def test_only_these_use_cases_ask_for_the_key() -> None:
    """A new reader of the key belongs in this list only with a reason."""
    assert _find_files("server.storage.key import") == {
        "tastings/pouring.py",  # the pourer fills the cups
        "tastings/sealed_text.py",
    }
    assert _find_files("server.tastings.sealed_text import") == {
        "tastings/closing.py",  # unsealing compares text and hash
        "tastings/concluding.py",  # a finding follows unsealing
        "tastings/table_concluding.py",  # the same of a scored table
        "tastings/exporting.py",  # the sealed text once it may leave
        "tastings/benchmarking.py",  # unsealed findings that held two recipes together
        "tastings/dilutions.py",  # other findings' marks of added water, unsealed before
        "tastings/stopping.py",  # a sequential plan's one word a block: go on, or stop
    }
