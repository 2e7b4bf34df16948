"""The cupping table of Lantern Row, an invented small roastery, and larger ones made at random."""

from collections.abc import Callable, Sequence

import numpy as np
import pytest
from hypothesis import settings

from server.sheets.analysis import Analysis, analyse_scores
from server.sheets.scores import Score

# A busy machine is slow, not wrong; and ten examples a run are many over a hundred runs.
settings.register_profile("unhurried", deadline=None, max_examples=10)
settings.load_profile("unhurried")

PEOPLE = [
    "Ann", "Bo", "Cy", "Di with a rather long name indeed", "Ed", "Flo", "Gus", "Hal", "Ivy", "Jo",
    "Kim", "Lou",
]  # fmt: skip
SAMPLES = [
    "Washed lot from the upper terrace", "Natural, drum batch 14", "House blend (reference)",
    "Honey process, second crop", "Decaf, water method", "Late harvest, patio dried", "Batch 9",
    "Batch 10 with longer development", "Unbreakablelabelwithoutanyspaceatall",
    "Test lot 茶 深煎り", "Peaberry", "Filter roast, Tuesday",
]  # fmt: skip
ATTRIBUTES = [
    "bitterness", "dark chocolate and toasted grain, after swallowing", "sour", "body", "sweetness",
    "papery", "smoky", "clean finish", "fruit", "floral", "dry", "roast",
]  # fmt: skip

Made = tuple[Analysis, list[Score]]


@pytest.fixture(scope="session")
def make_table() -> Callable[..., Made]:
    """A panel's scores on a scale from 0 to 100; ``down`` turn it the other way round."""
    made: dict[str, Made] = {}

    def make(
        people: int = 8, samples: int = 6, attributes: int = 6, repeats: int = 2,
        down: Sequence[int] = (3,), gaps: float = 0.0, primary: str | None = None,
    ) -> Made:  # fmt: skip
        key = repr((people, samples, attributes, repeats, down, gaps, primary))
        if key not in made:
            rng, scores = np.random.default_rng(1), []
            for attribute in ATTRIBUTES[:attributes]:
                effects = rng.normal(0, 12, samples)
                for place, who in enumerate(PEOPLE[:people]):
                    level, spread = rng.normal(0, 8), rng.uniform(0.6, 1.4)
                    for sample, effect in zip(SAMPLES, effects, strict=False):
                        for error in rng.normal(0, 6, repeats):
                            way = -1 if place in down else 1
                            value = float(
                                np.clip(round(50 + level + way * spread * effect + error), 0, 100)
                            )
                            known = None if rng.random() < gaps else value
                            scores.append(Score(who, sample, attribute, known))
            made[key] = analyse_scores(scores, primary=primary), scores
        return made[key]

    return make


@pytest.fixture
def tell() -> Callable[..., Made]:
    """Scores by assessor and sample, one attribute, analysed."""

    def told(table: dict[str, dict[str, tuple[float | None, ...]]], **more: object) -> Made:
        scores = [
            Score(who, sample, "body", value)
            for who, row in table.items()
            for sample, values in row.items()
            for value in values
        ]
        return analyse_scores(scores, **more), scores

    return told
