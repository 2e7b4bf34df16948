"""Two-way analysis of variance of a panel's ratings, assessors drawn at random."""

from dataclasses import dataclass
from typing import TYPE_CHECKING

from server.stats.checks import check_open_unit
from server.stats.copies import drop_copies
from server.stats.ratings import Ratings
from server.stats.results import Interval

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

ONE_ASSESSOR = (
    "Samples cannot be tested with one assessor: there is no interaction to test them against."
)
ONE_SAMPLE = "There is one sample only: nothing to compare."
ONE_REPLICATE = (
    "One value a cell: the interaction cannot be told from repeat error, so neither has a "
    "variance or a test of its own; their sum is the error the samples are tested against."
)
NO_INTERACTION = (
    "The samples have no F: every assessor gave the same differences, to the last digit."
)
NEGATIVE = "A variance component came out negative and counts as 0: {}."
COPIES = "Every value stands {} times in its cell, as copies would: counted once."

# Mean squares this far below the total are floating-point dust.
DUST = 1e-20


@dataclass(frozen=True)
class Line:
    """One line of the table: a source of variation.

    Attributes
    ----------
    sum_of_squares : float
    df : int
        Degrees of freedom.
    mean_square : float or None
        None without degrees of freedom.
    """

    sum_of_squares: float
    df: int
    mean_square: float | None


@dataclass(frozen=True)
class FTest:
    """An F test.

    Attributes
    ----------
    f : float
    df : tuple of float
        Degrees of freedom of numerator and denominator.
    p_value : float
    """

    f: float
    df: tuple[float, float]
    p_value: float


@dataclass(frozen=True)
class BalancedAnova:
    """A panel's ratings analysed, every cell with the same number of values.

    What cannot be estimated is None and has a sentence in `notes`.

    Attributes
    ----------
    assessors, samples : tuple of str
        Labels.
    replicates : int
        Values a cell, copies counted once.
    assessor, sample, interaction, error : Line
        The table; `error` is repeat error within cells.
    sample_test : FTest or None
        Sample over interaction: would another panel find these differences too?
    assessor_test, interaction_test : FTest or None
        Over repeat error.
    components : dict of str to float or None
        Variance of ``assessor``, ``assessor:sample`` and ``residual`` by moments,
        as they came out, negative or not.
    means : tuple of float
        Of the samples, in the order of `samples`.
    se : float or None
        Standard error of a mean, from the interaction.
    intervals : tuple of Interval or None
        Of the means, at 1 - `alpha`.
    alpha : float
        Level of the intervals.
    notes : tuple of str
    """

    assessors: tuple[str, ...]
    samples: tuple[str, ...]
    replicates: int
    assessor: Line
    sample: Line
    interaction: Line
    error: Line
    sample_test: FTest | None
    assessor_test: FTest | None
    interaction_test: FTest | None
    components: dict[str, float | None]
    means: tuple[float, ...]
    se: float | None
    intervals: tuple[Interval, ...] | None
    alpha: float
    notes: tuple[str, ...]


def analyse_balanced(ratings: Ratings, alpha: float = 0.05) -> BalancedAnova:
    """Analyse ratings of which every cell holds the same number of values.

    Parameters
    ----------
    ratings : Ratings
        One attribute; own cups (shared bowls need `mixed`).
    alpha : float
        One minus the level of the intervals, above 0 and below 1.

    Returns
    -------
    BalancedAnova

    Raises
    ------
    ValueError
        If the cells hold different numbers of values, or `alpha` is out of range.

    Notes
    -----
    With I assessors, J samples and K values a cell, the sample is tested over
    the interaction, F = MS_sample / MS_interaction on J - 1 and (I - 1)(J - 1)
    degrees of freedom, since the assessors stand for others [1]_. Over repeat
    error it would be tested as if cups, not people, were the sample of the
    panel, and copying rows would make any difference significant.

    If the values of every cell are an m-fold copy of the same values, they are
    counted once: degrees of freedom do not come from a copier.

    References
    ----------
    .. [1] Scheffé, H. (1959). The Analysis of Variance, chapter 8 (chapter from
       memory); ISO 13299 and ISO 11132 use the same model.

    Examples
    --------
    >>> from server.stats.ratings import build_ratings
    >>> people, names = ["a", "a", "b", "b", "c", "c"], ["X", "Y"] * 3
    >>> found = analyse_balanced(build_ratings(people, names, [3, 5, 4, 7, 2, 3]))
    >>> found.sample_test.df, round(found.sample_test.f, 6)
    ((1.0, 2.0), 12.0)
    """
    check_open_unit("alpha", alpha)
    cube, copies = _arrange(ratings)
    assessor, sample, interaction, error = lines = _split(cube)
    se = _standard_error(interaction, cube.shape)
    means = tuple(float(mean) for mean in cube.mean(axis=(0, 2)))
    components = _find_components(*lines, cube.shape)
    return BalancedAnova(
        assessors=ratings.assessors,
        samples=ratings.samples,
        replicates=cube.shape[2],
        assessor=assessor,
        sample=sample,
        interaction=interaction,
        error=error,
        sample_test=compare(sample, interaction),
        assessor_test=compare(assessor, error),
        interaction_test=compare(interaction, error),
        components=components,
        means=means,
        se=se,
        intervals=_find_intervals(means, se, interaction.df, alpha),
        alpha=alpha,
        notes=_notes(lines, components, cube.shape, copies),
    )


def compare(above: Line, below: Line) -> FTest | None:
    """Return the F test of one mean square over another.

    Returns
    -------
    FTest or None
        None if either has no degrees of freedom or the lower one is 0.

    Examples
    --------
    >>> compare(Line(8.0, 2, 4.0), Line(6.0, 6, 1.0)).f
    4.0
    """
    if above.mean_square is None or not below.mean_square:
        return None
    f = above.mean_square / below.mean_square
    return FTest(f, (float(above.df), float(below.df)), f_tail(f, above.df, below.df))


def f_tail(f: float, above: float, below: float) -> float:
    """Return P(F >= `f`) on `above` and `below` degrees of freedom.

    Examples
    --------
    >>> round(f_tail(4.0, 2, 6), 6)
    0.078717
    """
    from scipy import special  # takes half a second to load

    return float(special.fdtrc(above, below, f))


def _arrange(ratings: Ratings) -> "tuple[NDArray[np.float64], int]":
    """Return the values, assessors × samples × values a cell, and how often each is copied."""
    import numpy as np

    replicates = ratings.replicates()
    if not replicates:
        counts = ratings.counts()
        raise ValueError(
            f"ratings must hold as many values in every cell, not {counts.min()} to {counts.max()}"
        )
    once, copies = drop_copies(ratings)
    order = np.lexsort((once.sample, once.assessor))
    shape = (len(once.assessors), len(once.samples), replicates // copies)
    return once.value[order].reshape(shape), copies


def _split(cube: "NDArray[np.float64]") -> tuple[Line, Line, Line, Line]:
    """Split the sum of squares into assessor, sample, interaction and error."""
    people, samples, replicates = cube.shape
    cells = cube.mean(axis=2)
    rows, columns = cells.mean(axis=1), cells.mean(axis=0)
    grand = cells.mean()
    crossed = cells - rows[:, None] - columns[None, :] + grand
    dust = DUST * float((cube**2).sum())
    squares = (
        samples * replicates * ((rows - grand) ** 2).sum(),
        people * replicates * ((columns - grand) ** 2).sum(),
        replicates * (crossed**2).sum(),
        ((cube - cells[:, :, None]) ** 2).sum(),
    )
    freedom = (
        people - 1,
        samples - 1,
        (people - 1) * (samples - 1),
        people * samples * (replicates - 1),
    )
    lines = [_build_line(float(s), df, dust) for s, df in zip(squares, freedom, strict=True)]
    return lines[0], lines[1], lines[2], lines[3]


def _build_line(squares: float, df: int, dust: float) -> Line:
    squares = 0.0 if squares <= dust else squares
    return Line(squares, df, squares / df if df else None)


def _standard_error(interaction: Line, shape: tuple[int, ...]) -> float | None:
    if interaction.mean_square is None:
        return None
    return float((interaction.mean_square / (shape[0] * shape[2])) ** 0.5)


def _find_intervals(
    means: tuple[float, ...], se: float | None, df: int, alpha: float
) -> tuple[Interval, ...] | None:
    from scipy import special  # takes half a second to load

    if se is None:
        return None
    reach = float(special.stdtrit(df, 1 - alpha / 2)) * se
    return tuple(Interval(mean - reach, mean + reach) for mean in means)


def _find_components(
    assessor: Line, _sample: Line, interaction: Line, error: Line, shape: tuple[int, ...]
) -> dict[str, float | None]:
    """Return the variance components by equating mean squares with their expectations."""
    people = crossed = None
    if assessor.mean_square is not None and interaction.mean_square is not None:
        people = (assessor.mean_square - interaction.mean_square) / (shape[1] * shape[2])
    if interaction.mean_square is not None and error.mean_square is not None:
        crossed = (interaction.mean_square - error.mean_square) / shape[2]
    residual = interaction.mean_square if error.mean_square is None else error.mean_square
    return {"assessor": people, "assessor:sample": crossed, "residual": residual}


def _notes(
    lines: tuple[Line, Line, Line, Line],
    components: dict[str, float | None],
    shape: tuple[int, ...],
    copies: int,
) -> tuple[str, ...]:
    _, sample, interaction, _ = lines
    negative = ", ".join(name for name, size in components.items() if size is not None and size < 0)
    reasons = {
        COPIES.format(copies): copies > 1,
        ONE_ASSESSOR: shape[0] == 1,
        ONE_SAMPLE: shape[1] == 1,
        ONE_REPLICATE: shape[2] == 1,
        NO_INTERACTION: interaction.mean_square == 0 and sample.df > 0,
        NEGATIVE.format(negative): bool(negative),
    }
    return tuple(sentence for sentence, holds in reasons.items() if holds)
