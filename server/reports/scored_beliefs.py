"""How the scores of the declared question weigh differences of samples against none."""

import math
from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from itertools import combinations
from statistics import fmean

from server.sheets.scores import Score
from server.stats.score_bayes import (
    SCALE,
    PairWeighed,
    SamplesWeighed,
    weigh_pair,
    weigh_samples,
)


@dataclass(frozen=True)
class PairBelief:
    """Two samples weighed; the difference is that of the second less the first.

    They stand so that the second has more, if anybody scored both.
    """

    first: str
    second: str
    found: PairWeighed


@dataclass(frozen=True)
class ScoreBeliefs:
    """The declared question weighed.

    Attributes
    ----------
    question
        Name of its score.
    declared
        Whether the prior's scale was sealed with the plan; else it is the usual one.
    scales
        That scale, half of it and twice of it: how much hangs on the prior.
    together
        All samples; None where there are two.
    pairs
        Every two of them, in the order of the samples.
    """

    question: str
    declared: bool
    scales: tuple[float, ...]
    together: SamplesWeighed | None
    pairs: tuple[PairBelief, ...]


def weigh_scores(
    scores: Sequence[Score],
    question: str,
    samples: Sequence[str],
    planned: Decimal | None,
    alpha: float,
) -> ScoreBeliefs | None:
    """Weigh the scores of a question; None if it has none.

    Parameters
    ----------
    scores
        Of all questions; several of one person for one sample count as their mean.
    question
        The one that was declared to count; empty if none was.
    samples
        Levels in order.
    planned
        Scale of the prior as sealed, None if the plan has none.
    alpha
        Level of the test: limits of the posterior hold 1 - alpha of it.
    """
    means = _average(scores, question)
    if not means:
        return None
    scale = SCALE if planned is None else float(planned)
    scales = (scale, scale / 2, scale * 2)
    levels = [one for one in samples if any(one in mine for mine in means.values())]
    together = None
    if len(levels) > 2:
        rows = [[mine.get(level, math.nan) for level in levels] for mine in means.values()]
        together = weigh_samples(rows, scales)
    pairs = tuple(
        _weigh_pair(means, one, other, scales, 1 - alpha) for one, other in combinations(levels, 2)
    )
    return ScoreBeliefs(question, planned is not None, scales, together, pairs)


def _average(scores: Sequence[Score], question: str) -> dict[str, dict[str, float]]:
    """Return everybody's mean score of every sample."""
    given: dict[str, dict[str, list[float]]] = defaultdict(lambda: defaultdict(list))
    for one in scores:
        if one.attribute == question and one.value is not None:
            given[one.assessor][one.sample].append(one.value)
    return {who: {what: fmean(all_) for what, all_ in mine.items()} for who, mine in given.items()}


def _weigh_pair(
    means: Mapping[str, Mapping[str, float]],
    one: str,
    other: str,
    scales: Sequence[float],
    level: float,
) -> PairBelief:
    both = [mine for mine in means.values() if one in mine and other in mine]
    if sum(mine[other] - mine[one] for mine in both) < 0:
        one, other = other, one
    differences = [mine[other] - mine[one] for mine in both]
    return PairBelief(one, other, weigh_pair(differences, scales, level))
