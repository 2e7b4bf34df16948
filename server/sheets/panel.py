"""How each assessor works on one attribute, and how far they stretch the scale."""

from collections.abc import Iterator
from dataclasses import dataclass

from server.stats.assessors import Performance, analyse_assessors
from server.stats.ratings import Ratings
from server.stats.scaling import ScaledAnova, analyse_scaling
from server.stats.upside_down import find_upside_down

SHARED_BOWLS = (
    "Samples corrected for scale use have no test with shared bowls: it would take what a bowl did "
    "for what the sample is."
)


@dataclass(frozen=True)
class Work:
    """How one assessor works, on one attribute.

    Attributes
    ----------
    discrimination_f, discrimination_p : float or None
        Samples over the assessor's own repeat error.
    repeatability_mse : float or None
        Variance of repeated values within samples.
    agreement_r : float or None
        Pearson's correlation with the means of all others.
    interaction_share : float or None
        Of the sum of squares of the interaction of assessor and sample.
    level : float or None
        Mean of the assessor less that of the panel.
    slope : float or None
        How far the samples are spread, the panel's mean being 1.
    """

    discrimination_f: float | None = None
    discrimination_p: float | None = None
    repeatability_mse: float | None = None
    agreement_r: float | None = None
    interaction_share: float | None = None
    level: float | None = None
    slope: float | None = None


@dataclass(frozen=True)
class Scaling:
    """Whether assessors spread the samples differently, and the samples corrected for it.

    Attributes
    ----------
    f, df, p_value : float, tuple of float, float; or None
        Test of equal slopes, over the rest of the interaction.
    sample_f, sample_p_value : float or None
        Test of the samples, over the same; None with shared bowls, of which it
        knows nothing.
    """

    f: float | None
    df: tuple[float, float] | None
    p_value: float | None
    sample_f: float | None
    sample_p_value: float | None


@dataclass(frozen=True)
class Panel:
    """How the assessors of a panel work, on one attribute.

    Attributes
    ----------
    assessors : dict of str to Work
    scaling : Scaling
    against : tuple of str
        Who agrees with the rest of the panel less than chance would explain; of
        two assessors nobody can be said to.
    turned : tuple of str
        A sentence on everybody who agrees negatively.
    notes : tuple of str
        A sentence for all that is None, single assessors last.
    """

    assessors: dict[str, Work]
    scaling: Scaling
    against: tuple[str, ...]
    turned: tuple[str, ...]
    notes: tuple[str, ...]


def describe_panel(ratings: Ratings, alpha: float = 0.05) -> Panel:
    """Describe how the assessors of a panel work.

    Parameters
    ----------
    ratings : Ratings
        One attribute.
    alpha : float
        Level at which an assessor is said to go against the others.

    Returns
    -------
    Panel

    Examples
    --------
    >>> from server.stats.ratings import build_ratings
    >>> people, names = ["ann"] * 3 + ["bo"] * 3, ["X", "Y", "Z"] * 2
    >>> found = describe_panel(build_ratings(people, names, [4, 5, 6, 2, 4, 8]))
    >>> round(found.assessors["bo"].slope, 6), round(found.assessors["bo"].level, 6)
    (1.510204, -0.166667)
    """
    performance, scaled = analyse_assessors(ratings), analyse_scaling(ratings)
    turned = find_upside_down(performance, alpha)
    samples, slopes = scaled.sample_test, scaled.scaling_test
    if ratings.bowl is not None:
        samples = None
    return Panel(
        assessors=dict(_join(performance, scaled)),
        scaling=Scaling(
            f=slopes.f if slopes else None,
            df=slopes.df if slopes else None,
            p_value=slopes.p_value if slopes else None,
            sample_f=samples.f if samples else None,
            sample_p_value=samples.p_value if samples else None,
        ),
        against=tuple(
            one.assessor
            for one in turned
            if len(ratings.assessors) > 2 and one.p_value is not None and one.p_value <= alpha
        ),
        turned=tuple(one.reason for one in turned),
        notes=(
            *performance.notes,
            *scaled.notes,
            *((SHARED_BOWLS,) * (ratings.bowl is not None)),
            *(note for one in performance.assessors.values() for note in one.notes),
        ),
    )


def _join(performance: Performance, scaled: ScaledAnova) -> Iterator[tuple[str, Work]]:
    slopes = scaled.coefficients or {}
    for name, one in performance.assessors.items():
        test = one.discrimination
        yield (
            name,
            Work(
                discrimination_f=test.f if test else None,
                discrimination_p=test.p_value if test else None,
                repeatability_mse=one.repeatability_mse,
                agreement_r=one.agreement_r,
                interaction_share=one.interaction_share,
                level=one.level,
                slope=slopes.get(name),
            ),
        )
