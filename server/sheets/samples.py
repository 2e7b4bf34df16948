"""Whether samples differ in one attribute, by the analysis that fits how they were scored."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal, TypeVar

from server.stats.anova import FTest, analyse_balanced
from server.stats.differences import Differences, compare_means
from server.stats.mixed import analyse_mixed
from server.stats.ratings import Ratings
from server.stats.results import Interval

T = TypeVar("T")

INTERACTION = "assessor:sample"
COMPONENTS = "variance components"
GAPS = (
    "Cells hold {} to {} values: samples are tested by variance components (REML), and the "
    "interaction of assessor and sample has no F of its own."
)
BOWLS = (
    "Bowls were shared: samples are tested by variance components (REML), and the interaction of "
    "assessor and sample has no F of its own."
)


@dataclass(frozen=True)
class Samples:
    """The samples compared.

    Attributes
    ----------
    method : str
        ``anova`` or ``reml``.
    error_term : str
        What the samples are tested against.
    f, df, p_value : float, tuple of float, float; or None
        Test of no difference.
    means : dict of str to float
        Of the samples.
    intervals : dict of str to Interval or None
        Of the means.
    lsd, hsd : float or None
        Least significant difference of one pair, and of all pairs together.
    letters : dict of str to str or None
        Samples that share a letter are not told apart, all pairs together.
    variance : dict of str to float or None
        Components, those by moments as they came out, negative or not.
    interaction : FTest or None
        Test of the interaction of assessor and sample over repeat error.
    """

    method: Literal["anova", "reml"]
    error_term: str
    f: float | None
    df: tuple[float, float] | None
    p_value: float | None
    means: dict[str, float | None]
    intervals: dict[str, Interval | None]
    lsd: float | None
    hsd: float | None
    letters: dict[str, str | None]
    variance: dict[str, float | None]
    interaction: FTest | None

    def mention(self, absent: Sequence[str]) -> "Samples":
        """Return the same, samples without a value named with a mean of None.

        Examples
        --------
        >>> from server.stats.ratings import build_ratings
        >>> found, _ = compare_samples(build_ratings(["ann"], ["X"], [3]))
        >>> found.mention(["Y"]).means
        {'X': 3.0, 'Y': None}
        """
        none = dict.fromkeys(absent)
        return replace(
            self,
            means=self.means | none,
            intervals=self.intervals | none,
            letters=self.letters | none,
        )


def compare_samples(ratings: Ratings, alpha: float = 0.05) -> tuple[Samples, tuple[str, ...]]:
    """Compare the samples.

    Parameters
    ----------
    ratings : Ratings
        One attribute.
    alpha : float
        Level of differences and letters, one minus that of intervals.

    Returns
    -------
    samples : Samples
    notes : tuple of str
        A sentence for all that is None.

    Raises
    ------
    ValueError
        If `alpha` is out of range.

    Notes
    -----
    Own cups and every cell with the same number of values: analysis of variance,
    samples over the interaction. Otherwise restricted likelihood.

    Examples
    --------
    >>> from server.stats.ratings import build_ratings
    >>> people, names = ["a", "a", "b", "b", "c", "c"], ["X", "Y"] * 3
    >>> found, _ = compare_samples(build_ratings(people, names, [3, 5, 4, 7, 2, 3]))
    >>> found.method, found.df, round(found.f, 6), found.letters
    ('anova', (1.0, 2.0), 12.0, {'X': 'a', 'Y': 'a'})
    """
    if ratings.bowl is None and ratings.replicates():
        return _compare_balanced(ratings, alpha)
    return _compare_mixed(ratings, alpha)


def _compare_balanced(ratings: Ratings, alpha: float) -> tuple[Samples, tuple[str, ...]]:
    found = analyse_balanced(ratings, alpha)
    test = found.sample_test
    pairs: Differences | None = None
    notes = found.notes
    if found.se and len(found.means) > 1:
        pairs = compare_means(found.means, 2**0.5 * found.se, found.interaction.df, alpha)
        notes += pairs.notes
    samples = Samples(
        method="anova",
        error_term=INTERACTION,
        f=test.f if test else None,
        df=test.df if test else None,
        p_value=test.p_value if test else None,
        means=_name(found.samples, found.means),
        intervals=_name(found.samples, found.intervals),
        lsd=pairs.lsd if pairs else None,
        hsd=pairs.hsd if pairs else None,
        letters=_name(found.samples, pairs.letters_hsd if pairs else None),
        variance=found.components,
        interaction=found.interaction_test,
    )
    return samples, notes


def _compare_mixed(ratings: Ratings, alpha: float) -> tuple[Samples, tuple[str, ...]]:
    found = analyse_mixed(ratings, alpha)
    test, pairs = found.sample_test, found.differences
    samples = Samples(
        method="reml",
        error_term=COMPONENTS,
        f=test.f if test else None,
        df=test.df if test else None,
        p_value=test.p_value if test else None,
        means=_name(found.samples, [one.mean for one in found.means]),
        intervals=_name(found.samples, [one.interval for one in found.means]),
        lsd=pairs.lsd if pairs else None,
        hsd=pairs.hsd if pairs else None,
        letters=_name(found.samples, pairs.letters_hsd if pairs else None),
        variance=found.components,
        interaction=None,
    )
    counts = ratings.counts()
    why = GAPS.format(counts.min(), counts.max()) if ratings.bowl is None else BOWLS
    return samples, (why, *found.notes, *(pairs.notes if pairs else ()))


def _name(samples: Sequence[str], values: Sequence[T | None] | None) -> dict[str, T | None]:
    """Return values by sample, None for each if there are none."""
    if values is None:
        return dict.fromkeys(samples)
    return dict(zip(samples, values, strict=True))
