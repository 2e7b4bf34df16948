"""A published table and an invented one.

The cast is invented: a tea bar has its tea scored, brewed with water from a fresh
filter cartridge, from the same one flushed, and from an old one.
"""

import csv
from pathlib import Path

import pytest

from server.sheets.scores import Score

FISH = Path(__file__).parent.parent / "reference" / "fish.csv"
TEA = {
    "ann": {"fresh": (7, 6), "flushed": (5, 6), "old": (3, 2)},
    "bo": {"fresh": (8, 8), "flushed": (7, 5), "old": (4, 5)},
    "cy": {"fresh": (6, 5), "flushed": (5, 5), "old": (3, 4)},
    "di": {"fresh": (7, 9), "flushed": (6, 8), "old": (2, 3)},
}


@pytest.fixture
def fish() -> list[Score]:
    """Six batches of fish scored three times by four assessors: ISO 8586."""
    lines = (one for one in FISH.read_text(encoding="utf-8").splitlines() if one[0] != "#")
    return [
        Score(row["assessor"], row["sample"], "flavour", float(row["score"]))
        for row in csv.DictReader(lines)
    ]


@pytest.fixture
def tea() -> list[Score]:
    """Tea scored twice by four assessors."""
    return [
        Score(assessor, sample, "clean", value)
        for assessor, samples in TEA.items()
        for sample, values in samples.items()
        for value in values
    ]
