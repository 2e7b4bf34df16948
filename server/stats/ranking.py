"""Everything that follows from samples ranked by a panel."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from server.stats.binomial import reaches
from server.stats.checks import check_open_unit
from server.stats.friedman import Friedman, analyse_friedman, friedman_least_p
from server.stats.page import Page, analyse_page
from server.stats.paired_answers import SignTest, compare_signs
from server.stats.rank_differences import Differences, compare_pairs
from server.stats.rankings import Rankings

Distribution = Literal["exact", "chi-square"]

ORDER_ONLY = "Ranks say which sample came before which, not how far apart they are."
ONE_ASSESSOR = "Friedman's test finds nothing with one assessor: any order is as likely as any."
TOO_FEW = "Friedman's test cannot reach alpha: too few assessors or samples for this level."
ONLY_A_HINT = (
    "Overall a difference was not detected: a pair beyond the least significant difference is "
    "then a hint only, unless it was named beforehand."
)


@dataclass(frozen=True)
class RankingResult:
    """A ranking test analysed.

    Attributes
    ----------
    method : str
        "ranking".
    assessors, samples : tuple of str
        Labels.
    ranks : tuple of tuple of float, shape (J, P)
        Rank 1 is first; ties share their mean rank.
    alpha : float
        Level of the test and of the comparisons.
    rank_sums : tuple of float, length P
        In the order of `samples`.
    tied : int
        How many assessors tied samples.
    p_value : float or None
        Of Friedman's test.
    distribution : {"exact", "chi-square"} or None
        Where `p_value` comes from: exact wherever that is feasible.
    detected : bool
        Whether `p_value` is at most `alpha`.
    friedman : Friedman
        The overall test.
    signs : SignTest or None
        With two samples: how often the first came before the second, and the
        second before the first.
    page : Page or None
        The test along a predicted order, if one is given.
    trend_detected : bool or None
        Whether Page's exact p-value (the normal one if there is none) is at most
        `alpha`; None without a predicted order.
    differences : Differences
        All pairs of samples.
    notes : tuple of str
        How to read it, and why something is None; those of all parts.
    """

    method: str
    assessors: tuple[str, ...]
    samples: tuple[str, ...]
    ranks: tuple[tuple[float, ...], ...]
    alpha: float
    rank_sums: tuple[float, ...]
    tied: int
    p_value: float | None
    distribution: Distribution | None
    detected: bool
    friedman: Friedman
    signs: SignTest | None
    page: Page | None
    trend_detected: bool | None
    differences: Differences
    notes: tuple[str, ...]


def analyse_ranking(
    rankings: Rankings, alpha: float = 0.05, order: Sequence[str] | None = None
) -> RankingResult:
    """Analyse the rankings of a panel.

    Parameters
    ----------
    rankings : Rankings
        Everybody's ranks; rank 1 is first.
    alpha : float
        Level, above 0 and below 1.
    order : sequence of str, length P, optional
        The order predicted before the answers, the sample expected first first.

    Returns
    -------
    RankingResult

    Raises
    ------
    ValueError
        If `alpha` is out of range or `order` does not hold every sample once.

    Notes
    -----
    The assessors must have ranked independently, each once: two rankings of one
    person are not two persons.

    References
    ----------
    ISO 8587 (ranking): Friedman's test without, Page's with a predicted order,
    the sign test for two samples (contents from memory).

    Examples
    --------
    >>> from server.stats.rankings import build_rankings
    >>> found = analyse_ranking(build_rankings([[1, 2, 3]] * 3, ["A", "B", "C"]))
    >>> found.rank_sums, round(found.p_value, 6), found.distribution, found.detected
    ((3.0, 6.0, 9.0), 0.027778, 'exact', True)
    """
    check_open_unit("alpha", alpha)
    friedman = analyse_friedman(rankings)
    p_value, distribution = _choose(friedman)
    signs = _find_signs(rankings)
    page = None if order is None else analyse_page(rankings, order)
    differences = compare_pairs(rankings, alpha)
    detected = p_value is not None and reaches(p_value, alpha)
    return RankingResult(
        method="ranking",
        assessors=rankings.assessors,
        samples=rankings.samples,
        ranks=rankings.ranks,
        alpha=alpha,
        rank_sums=rankings.rank_sums(),
        tied=sum(len(set(row)) < len(row) for row in rankings.ranks),
        p_value=p_value,
        distribution=distribution,
        detected=detected,
        friedman=friedman,
        signs=signs,
        page=page,
        trend_detected=None if page is None else _find_trend(page, alpha),
        differences=differences,
        notes=(
            ORDER_ONLY,
            *_notes(rankings, detected, differences),
            *(note for part in (friedman, signs, page, differences) if part for note in part.notes),
        ),
    )


def _choose(friedman: Friedman) -> tuple[float | None, Distribution | None]:
    if friedman.p_exact is not None:
        return friedman.p_exact, "exact"
    if friedman.chi_square is not None:
        return friedman.chi_square.p_value, "chi-square"
    return None, None


def _find_signs(rankings: Rankings) -> SignTest | None:
    if len(rankings.samples) != 2:
        return None
    first = sum(one < other for one, other in rankings.ranks)
    second = sum(one > other for one, other in rankings.ranks)
    return compare_signs(first, second)


def _find_trend(page: Page, alpha: float) -> bool:
    p_value = page.p_normal if page.p_exact is None else page.p_exact
    return p_value is not None and reaches(p_value, alpha)


def _notes(rankings: Rankings, detected: bool, differences: Differences) -> tuple[str, ...]:
    one = len(rankings.assessors) == 1
    least_p = friedman_least_p(rankings.rows())
    reasons = {
        ONE_ASSESSOR: one,
        TOO_FEW: not one and least_p is not None and not reaches(least_p, differences.alpha),
        ONLY_A_HINT: not detected and any(pair.apart_alone for pair in differences.pairs),
    }
    return tuple(sentence for sentence, holds in reasons.items() if holds)
