"""Shared bowls of one sample: how alike they are, and which of them stands apart."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, NamedTuple

from server.stats.anova import FTest, f_tail
from server.stats.checks import check_open_unit
from server.stats.ratings import Ratings

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

NO_BOWLS = "Nothing can be said of bowls: everybody had own cups."
ONE_BOWL = "Nothing can be said of bowls: no sample stood in two bowls that one assessor tasted."
NO_ERROR = (
    "The bowls cannot be tested: it takes two assessors who tasted the same bowls of a sample "
    "to tell a bowl from how one person scores."
)
NO_SPREAD = "The bowls have no test: all assessors saw the same differences, to the last digit."

# A sum of squares this far below the total is floating-point dust.
DUST = 1e-20


@dataclass(frozen=True)
class Bowl:
    """One bowl against the other bowls of its sample.

    Attributes
    ----------
    name, sample : str
    distance : float or None
        How far above the mean of the others (without those set aside before it) it was
        scored; None without others to compare.
    t, p_value : float or None
        Student's t of the distance, two-sided.
    adjusted : float or None
        The p-value adjusted for looking at every bowl.
    """

    name: str
    sample: str
    distance: float | None
    t: float | None
    p_value: float | None
    adjusted: float | None


@dataclass(frozen=True)
class Bowls:
    """The bowls of all samples.

    Attributes
    ----------
    test : FTest or None
        Bowls within samples over assessor x bowl within samples.
    spread : float or None
        Standard deviation of bowls of one sample, as the panel saw them, freed of the
        panel's own error; 0 if that error explains all of it.
    error : float or None
        Standard deviation of one value about what its assessor and its bowl explain.
    bowls : tuple of Bowl
        In the order of the ratings.
    apart : tuple of str
        Bowls that stand apart at the level asked for.
    notes : tuple of str
        Why something is None.
    """

    test: FTest | None
    spread: float | None
    error: float | None
    bowls: tuple[Bowl, ...]
    apart: tuple[str, ...]
    notes: tuple[str, ...]


@dataclass(frozen=True)
class _Fit:
    """Assessor and bowl effects of one sample.

    ``distances`` are of its bowls, by their place: distance from the mean of the others,
    and its variance in units of the error variance. ``between`` is the sum of squares of the
    bowls with the assessors taken out, ``weight`` what the bowls' variance is multiplied
    with in its expectation.
    """

    distances: "dict[int, tuple[float, float]]"
    bowl_df: int
    between: float
    weight: float
    error_df: int
    error: float
    total: float


def compare_bowls(ratings: Ratings, alpha: float = 0.05) -> Bowls:
    """Compare the shared bowls of every sample with one another.

    Parameters
    ----------
    ratings : Ratings
        One attribute, with bowls.
    alpha : float
        Risk of setting any bowl apart although none differs.

    Returns
    -------
    Bowls

    Raises
    ------
    ValueError
        If `alpha` is out of range.

    Notes
    -----
    Within a sample each value is the sum of what its assessor thinks of the sample, what
    its bowl adds, and error; the error is pooled over samples [1]_. Values of one assessor
    on one bowl are averaged first. Bowls are fixed here: the question is which of these
    went wrong, not how samples differ, for which they are random (`mixed`).

    Every bowl is compared with the plain mean of the other bowls of its sample. The one
    that stands out most is judged first, its p-value multiplied by the number of bowls
    looked at; if it passes it is set aside, so that it does not make its neighbours look
    odd, and the rest are looked at again. That none is set apart wrongly is thus at risk
    `alpha` as long as none differs. Of two bowls both are named: neither is the odd one.

    References
    ----------
    .. [1] Scheffe, H. (1959). The Analysis of Variance. Wiley, chapter 4 (two-way layout,
       one observation a cell; from memory).

    Examples
    --------
    >>> from server.stats.ratings import build_ratings
    >>> scores = {"a": (6, 6, 2), "b": (5, 6, 2), "c": (7, 7, 4), "d": (6, 5, 1)}
    >>> rows = [(who, f"X{n}", y) for who, ys in scores.items() for n, y in enumerate(ys, 1)]
    >>> found = compare_bowls(
    ...     build_ratings([r[0] for r in rows], ["X"] * 12, [r[2] for r in rows],
    ...                   [r[1] for r in rows])
    ... )
    >>> found.apart, round(found.bowls[2].distance, 2)
    (('X3',), -3.75)
    """
    check_open_unit("alpha", alpha)
    if ratings.bowl is None:
        return Bowls(None, None, None, (), (), (NO_BOWLS,))
    fits = _fit_samples(ratings, frozenset())
    error_df = sum(fit.error_df for fit in fits)
    note = _find_obstacle(fits, error_df)
    if note:
        return Bowls(None, None, None, _describe(ratings, fits, {}), (), (note,))
    error = sum(fit.error for fit in fits) / error_df
    tests = _set_apart(ratings, alpha)
    return Bowls(
        test=_test(fits, error, error_df),
        spread=_find_spread(fits, error),
        error=error**0.5,
        bowls=_describe(ratings, fits, tests),
        apart=tuple(
            name for at, name in enumerate(ratings.bowls) if at in tests and tests[at].apart
        ),
        notes=(),
    )


def _find_obstacle(fits: Sequence[_Fit], error_df: int) -> str:
    if not any(fit.bowl_df for fit in fits):
        return ONE_BOWL
    if not error_df:
        return NO_ERROR
    dust = DUST * sum(fit.total for fit in fits)
    return NO_SPREAD if sum(fit.error for fit in fits) <= dust else ""


class _BowlTest(NamedTuple):
    distance: float
    t: float
    p_value: float
    adjusted: float
    apart: bool


def _set_apart(ratings: Ratings, alpha: float) -> dict[int, _BowlTest]:
    """Test the bowl that stands out most, set it aside if it passes, and look again."""
    aside: set[int] = set()
    tests: dict[int, _BowlTest] = {}
    least = 0.0
    while True:
        found = _test_bowls(_fit_samples(ratings, frozenset(aside)))
        if not found:
            return tests
        most = min(found, key=lambda at: (found[at].p_value, at))
        least = max(least, min(1.0, found[most].p_value * len(found)))
        passed = least <= alpha
        group = _find_partners(ratings, found, most)
        tests |= {
            at: one._replace(
                adjusted=max(least, min(1.0, one.p_value * len(found))),
                apart=passed and at in group,
            )
            for at, one in found.items()
        }
        if not passed:
            return tests
        aside |= group


def _find_partners(ratings: Ratings, found: Mapping[int, _BowlTest], bowl: int) -> set[int]:
    """Return a bowl and, if its sample has but two left, the other: neither is the odd one."""
    holds = _find_contents(ratings)
    alike = {at for at in found if holds[at] == holds[bowl]}
    return alike if len(alike) == 2 else {bowl}


def _test_bowls(fits: Sequence[_Fit]) -> dict[int, _BowlTest]:
    from scipy import special  # takes half a second to load

    error_df = sum(fit.error_df for fit in fits)
    error = sum(fit.error for fit in fits) / error_df if error_df else 0.0
    if error <= DUST * sum(fit.total for fit in fits):
        return {}
    found = {}
    for at, (distance, variance) in (
        (at, one) for fit in fits for at, one in fit.distances.items()
    ):
        t = distance / (variance * error) ** 0.5
        p = min(1.0, 2 * float(special.stdtr(error_df, -abs(t))))
        found[at] = _BowlTest(distance, t, p, p, False)
    return found


def _fit_samples(ratings: Ratings, without: frozenset[int]) -> list[_Fit]:
    """Fit every sample on its own, some bowls left out."""
    import numpy as np

    assert ratings.bowl is not None
    kept = ~np.isin(ratings.bowl, list(without))
    mine = (kept & (ratings.sample == sample) for sample in range(len(ratings.samples)))
    return [_fit_sample(ratings, rows) for rows in mine if rows.any()]


def _fit_sample(ratings: Ratings, rows: "NDArray[np.bool_]") -> _Fit:
    import numpy as np

    who, which, values = _average(ratings, rows)
    places, bowl = np.unique(which, return_inverse=True)
    people = np.eye(len(ratings.assessors))[who][:, np.unique(who)]
    of_bowls = np.eye(len(places))[bowl]
    design = np.hstack([people, of_bowls])
    inverse = np.linalg.pinv(design)
    effects = inverse @ values
    rest = values - design @ effects
    alone = of_bowls - people @ np.linalg.pinv(people) @ of_bowls  # bowls, assessors taken out
    left = values - people @ np.linalg.pinv(people) @ values
    rank = int(np.linalg.matrix_rank(design))
    return _Fit(
        distances=_measure(places, effects, np.asarray(inverse, dtype=np.float64), design),
        bowl_df=rank - people.shape[1],
        between=float(left @ left - rest @ rest),
        weight=float((alone**2).sum()),
        error_df=len(values) - rank,
        error=float(rest @ rest),
        total=float(values @ values),
    )


def _average(
    ratings: Ratings, rows: "NDArray[np.bool_]"
) -> "tuple[NDArray[np.intp], NDArray[np.intp], NDArray[np.float64]]":
    """Return assessor, bowl and mean of the values that one gave the other, where there are any."""
    import numpy as np

    assert ratings.bowl is not None
    shape = len(ratings.assessors), len(ratings.bowls)
    sums, counts = np.zeros(shape), np.zeros(shape)
    np.add.at(sums, (ratings.assessor[rows], ratings.bowl[rows]), ratings.value[rows])
    np.add.at(counts, (ratings.assessor[rows], ratings.bowl[rows]), 1)
    who, which = np.nonzero(counts)
    return who, which, sums[who, which] / counts[who, which]


def _measure(
    places: "NDArray[np.intp]",
    effects: "NDArray[np.float64]",
    inverse: "NDArray[np.float64]",
    design: "NDArray[np.float64]",
) -> dict[int, tuple[float, float]]:
    """Measure each bowl against the plain mean of the others, where that can be estimated."""
    import numpy as np

    found, bowls = {}, len(places)
    for at, place in enumerate(places.tolist()):
        if bowls == 1:
            break
        contrast = np.zeros(len(effects))
        contrast[-bowls:] = -1 / (bowls - 1)
        contrast[at - bowls] = 1.0
        spanned = contrast @ inverse @ design
        if np.allclose(spanned, contrast, atol=1e-9):
            row = contrast @ inverse
            found[place] = float(contrast @ effects), float(row @ row)
    return found


def _test(fits: Sequence[_Fit], error: float, error_df: int) -> FTest:
    bowl_df = sum(fit.bowl_df for fit in fits)
    f = sum(fit.between for fit in fits) / bowl_df / error
    return FTest(f, (bowl_df, error_df), f_tail(f, bowl_df, error_df))


def _find_spread(fits: Sequence[_Fit], error: float) -> float:
    """Return the bowls' standard deviation by moments; 0 where it would be imaginary."""
    excess = sum(fit.between - fit.bowl_df * error for fit in fits)
    return float(max(excess / sum(fit.weight for fit in fits), 0.0) ** 0.5)


def _find_contents(ratings: Ratings) -> dict[int, int]:
    """Return which sample each bowl holds."""
    assert ratings.bowl is not None
    return dict(zip(ratings.bowl.tolist(), ratings.sample.tolist(), strict=True))


def _describe(
    ratings: Ratings, fits: Sequence[_Fit], tests: Mapping[int, _BowlTest]
) -> tuple[Bowl, ...]:
    holds = _find_contents(ratings)
    measured = {at: distance for fit in fits for at, (distance, _) in fit.distances.items()}
    return tuple(
        Bowl(name, ratings.samples[holds[at]], *tests[at][:4])
        if at in tests
        else Bowl(name, ratings.samples[holds[at]], measured.get(at), None, None, None)
        for at, name in enumerate(ratings.bowls)
    )
