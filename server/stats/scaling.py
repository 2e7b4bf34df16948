"""Assessors who stretch or shrink a scale, told apart from assessors who disagree."""

from dataclasses import dataclass
from typing import TYPE_CHECKING

from server.stats.anova import DUST, BalancedAnova, FTest, Line, analyse_balanced, compare
from server.stats.copies import drop_copies
from server.stats.ratings import Ratings
from server.stats.rest_of_panel import find_cell_means

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

UNEQUAL = "Scale use is not estimable: the cells hold {} to {} values, and it needs as many in all."
ONE_ASSESSOR = "Scale use is not estimable with one assessor: there is no panel to compare with."
ONE_SAMPLE = "Scale use is not estimable with one sample: nothing is spread out."
NO_SPREAD = "Scale use is not estimable: the panel's means of all samples are equal."
TWO_SAMPLES = (
    "With two samples all interaction is scale use: none is left as disagreement to test the "
    "samples or the scale use against."
)
NO_DISAGREEMENT = (
    "Nothing is left as disagreement: neither the samples nor the scale use have an F over it."
)
ONE_REPLICATE = "One value a cell: disagreement has no repeat error to be tested against."
NO_ERROR = (
    "Every value was repeated exactly: disagreement has no repeat error to be tested against."
)
REVERSED = "{} has a coefficient below 0: the scale was used the other way round."


@dataclass(frozen=True)
class ScaledAnova:
    """A panel's ratings analysed with a coefficient of scale use for each assessor.

    What cannot be estimated is None and has a sentence in `notes`.

    Attributes
    ----------
    coefficients : dict of str to float or None
        How much each assessor spreads the samples, the panel's mean being 1.
    assessor, sample, scaling, disagreement, error : Line or None
        The table; `scaling` and `disagreement` are the two parts of the interaction.
    sample_test : FTest or None
        Sample over disagreement.
    scaling_test : FTest or None
        Scaling over disagreement: do assessors differ in how far they spread?
    disagreement_test : FTest or None
        Disagreement over repeat error.
    notes : tuple of str
    """

    coefficients: dict[str, float] | None
    assessor: Line | None
    sample: Line | None
    scaling: Line | None
    disagreement: Line | None
    error: Line | None
    sample_test: FTest | None
    scaling_test: FTest | None
    disagreement_test: FTest | None
    notes: tuple[str, ...]


def analyse_scaling(ratings: Ratings) -> ScaledAnova:
    """Analyse ratings by the mixed assessor model, correcting for scale use.

    Parameters
    ----------
    ratings : Ratings
        One attribute.

    Returns
    -------
    ScaledAnova

    Notes
    -----
    With x_j the centred sample means of the panel, m_ij the mean of a cell of K
    values, and I assessors on J samples, the coefficient of assessor i is

        β_i = Σ_j (m_ij - m_i.) x_j / Σ_j x_j²,

    whose mean over assessors is 1. Scaling has K Σ_i (β_i - 1)² Σ_j x_j² on
    I - 1 degrees of freedom; the rest of the interaction, on (I - 1)(J - 2), is
    disagreement, over which samples and scaling are tested [1]_. If nobody
    scales differently both tests are exact, for the interaction is independent
    of the sample means. The test of the samples finds more than the plain one
    where assessors agree on the order but spread it differently; where they do
    not, it only has fewer degrees of freedom.

    References
    ----------
    .. [1] Brockhoff, P. B., Schlich, P. & Skovgaard, I. (2015). Taking individual
       scaling differences into account by analyzing profile data with the mixed
       assessor model. Food Quality and Preference, 39, 156-166 (from memory).

    Examples
    --------
    >>> from server.stats.ratings import build_ratings
    >>> people, names = ["ann"] * 3 + ["bo"] * 3, ["X", "Y", "Z"] * 2
    >>> found = analyse_scaling(build_ratings(people, names, [4, 5, 6, 2, 4, 8]))
    >>> {name: round(slope, 6) for name, slope in found.coefficients.items()}
    {'ann': 0.489796, 'bo': 1.510204}
    """
    ratings, _ = drop_copies(ratings)
    counts = ratings.counts()
    if ratings.replicates() is None:
        return _refuse(UNEQUAL.format(counts.min(), counts.max()))
    anova = analyse_balanced(ratings)
    slopes, scaling, disagreement = _split_interaction(ratings, anova)
    coefficients = None
    if slopes is not None:
        named = zip(ratings.assessors, slopes.tolist(), strict=True)
        coefficients = {name: float(slope) for name, slope in named}
    return ScaledAnova(
        coefficients=coefficients,
        assessor=anova.assessor,
        sample=anova.sample,
        scaling=scaling,
        disagreement=disagreement,
        error=anova.error,
        sample_test=_compare(anova.sample, disagreement),
        scaling_test=_compare(scaling, disagreement),
        disagreement_test=_compare(disagreement, anova.error),
        notes=_notes(anova, coefficients, disagreement),
    )


def _refuse(reason: str) -> ScaledAnova:
    return ScaledAnova(None, None, None, None, None, None, None, None, None, (reason,))


def _compare(above: Line | None, below: Line | None) -> FTest | None:
    return compare(above, below) if above and below else None


def _split_interaction(
    ratings: Ratings, anova: BalancedAnova
) -> "tuple[NDArray[np.float64] | None, Line | None, Line | None]":
    """Return the coefficients and both parts of the interaction; None if not estimable."""
    import numpy as np

    people, samples = len(anova.assessors), len(anova.samples)
    if people == 1 or samples == 1 or anova.sample.sum_of_squares == 0:
        return None, None, None
    cells = find_cell_means(ratings)
    own = cells - cells.mean(axis=1, keepdims=True)
    panel = own.mean(axis=0)
    slopes = own @ panel / (panel @ panel)
    scaled = np.outer(slopes - 1, panel)
    dust = DUST * float((ratings.value**2).sum())
    squares = [anova.replicates * float((part**2).sum()) for part in (scaled, own - panel - scaled)]
    scaling = _build_line(squares[0], people - 1, dust)
    disagreement = _build_line(squares[1], (people - 1) * (samples - 2), dust)
    return slopes, scaling, disagreement


def _build_line(squares: float, df: int, dust: float) -> Line:
    squares = 0.0 if squares <= dust or not df else squares
    return Line(squares, df, squares / df if df else None)


def _notes(
    anova: BalancedAnova, coefficients: dict[str, float] | None, disagreement: Line | None
) -> tuple[str, ...]:
    one_assessor, one_sample = len(anova.assessors) == 1, len(anova.samples) == 1
    estimable = disagreement is not None
    reasons = {
        ONE_ASSESSOR: one_assessor,
        ONE_SAMPLE: one_sample,
        NO_SPREAD: not (estimable or one_assessor or one_sample),
        TWO_SAMPLES: estimable and len(anova.samples) == 2,
        NO_DISAGREEMENT: disagreement is not None and disagreement.mean_square == 0,
        ONE_REPLICATE: estimable and anova.error.df == 0,
        NO_ERROR: estimable and anova.error.mean_square == 0,
    }
    told = [sentence for sentence, holds in reasons.items() if holds]
    turned = [name for name, slope in (coefficients or {}).items() if slope < 0]
    return tuple(told + [REVERSED.format(name) for name in turned])
