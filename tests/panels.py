"""Panels for tests: the fish of ISO 8586, and ratings out of an array."""

import csv
from pathlib import Path

import numpy as np

from server.stats.ratings import Ratings, build_ratings

FISH = Path(__file__).parent / "reference" / "fish.csv"


def read_fish(copies: int = 1) -> Ratings:
    """Return six batches scored by four assessors; the file's head names the source."""
    text = FISH.read_text(encoding="utf-8").splitlines()
    rows = list(csv.DictReader(line for line in text if not line.startswith("#"))) * copies
    columns = ([row["assessor"] for row in rows], [row["sample"] for row in rows])
    return build_ratings(*columns, [float(row["score"]) for row in rows])


def from_cube(cube: np.ndarray) -> Ratings:
    """Return ratings of assessors a00, a01 ... on samples s00, s01 ...; NaN is a gap."""
    cube = np.asarray(cube, dtype=float)
    places = [place for place in np.ndindex(cube.shape) if np.isfinite(cube[place])]
    people, names = [f"a{place[0]:02}" for place in places], [f"s{place[1]:02}" for place in places]
    return build_ratings(people, names, [float(cube[place]) for place in places])
