"""Reference tables, one row a test."""

import csv
from pathlib import Path

import pytest
from hypothesis import settings

# A busy machine is slow, not wrong.
settings.register_profile("unhurried", deadline=None)
settings.load_profile("unhurried")

REFERENCE = Path(__file__).parent.parent / "reference"
TABLES = {
    "critical_row": "triangle_critical.csv",
    "assessors_row": "triangle_assessors.csv",
    "stable_row": "triangle_assessors_stable.csv",
    "sawtooth_row": "triangle_sawtooth.csv",
}


def pytest_generate_tests(metafunc: pytest.Metafunc) -> None:
    for argument in TABLES.keys() & set(metafunc.fixturenames):
        rows = read_rows(TABLES[argument])
        metafunc.parametrize(argument, rows, ids=[" ".join(row.values()) for row in rows])


def read_rows(name: str) -> list[dict[str, str]]:
    text = (REFERENCE / name).read_text(encoding="utf-8")
    return list(csv.DictReader(line for line in text.splitlines() if not line.startswith("#")))
