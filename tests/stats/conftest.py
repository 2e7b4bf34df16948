"""Reference tables, one row a test."""

import csv
from pathlib import Path

import pytest
from hypothesis import settings

# A busy machine is slow, not wrong; and ten examples a run are many over a hundred runs.
settings.register_profile("unhurried", deadline=None, max_examples=10)
settings.register_profile("thorough", deadline=None, max_examples=100)  # --hypothesis-profile
settings.load_profile("unhurried")

REFERENCE = Path(__file__).parent.parent / "reference"
SUFFIX = "_row"


def pytest_generate_tests(metafunc: pytest.Metafunc) -> None:
    """Give a test with the argument ``x_row`` every row of ``reference/x.csv``."""
    for argument in metafunc.fixturenames:
        if argument.endswith(SUFFIX):
            rows = read_rows(f"{argument.removesuffix(SUFFIX)}.csv")
            metafunc.parametrize(argument, rows, ids=[" ".join(row.values()) for row in rows])


def read_rows(name: str) -> list[dict[str, str]]:
    text = (REFERENCE / name).read_text(encoding="utf-8")
    return list(csv.DictReader(line for line in text.splitlines() if not line.startswith("#")))
