"""What the serving order did to the ratings: position, the cup before, and the sitting."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from server.stats.anova import DUST, FTest, Line, compare
from server.stats.ratings import Ratings

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Places = NDArray[np.intp]

POSITION, CARRY_OVER, SITTING, DRIFT = "Position", "Carry-over", "Sitting", "Drift over sittings"
CONFOUNDED = "{} is not estimable: the design does not tell it from what is taken out."
PARTLY = "{} is tested on those differences only that the design tells apart; it has no effects."
NO_FREEDOM = "{} is not estimable: no degrees of freedom are left for error."
NO_ERROR = "{} has no F: nothing is left as error, to the last digit."
ONE_POSITION = "Position and carry-over are not estimable: all cups were tasted first."
ONE_SITTING = "There is one sitting: nothing to drift over."
UNKNOWN = "{} values come after a cup that has none: left out of the carry-over."
EXACT = 1e-9  # singular values this far below the largest count as 0

FIRST, MISSING = -1, -2  # places of a sample before: there was none, or it has no value


@dataclass(frozen=True)
class Effect:
    """What one aspect of the order did.

    Attributes
    ----------
    test : FTest or None
        Of no effect.
    effects : dict of str to float or None
        Estimates, summing to 0, by position, by the sample tasted just before,
        or by sitting; None where the design does not tell all of them apart.
    """

    test: FTest | None
    effects: dict[str, float] | None


@dataclass(frozen=True)
class Trend:
    """A straight line over sittings.

    Attributes
    ----------
    test : FTest or None
        Of no slope.
    slope : float or None
        Change from one sitting to the next, in units of the scale.
    """

    test: FTest | None
    slope: float | None


@dataclass(frozen=True)
class OrderEffects:
    """What the serving order did to the ratings of one attribute.

    What cannot be estimated is None and has a sentence in `notes`.

    Attributes
    ----------
    position : Effect
        Place in the serving order, with assessors, samples and sittings taken out.
    carry_over : Effect
        The sample tasted just before, with positions taken out as well.
    sitting : Effect
        The sitting, with assessors, samples and positions taken out.
    drift : Trend
        A straight line over sittings, with the same taken out.
    repeats : bool
        Whether assessor x sample was taken out, not only assessor and sample.
    notes : tuple of str
    """

    position: Effect
    carry_over: Effect
    sitting: Effect
    drift: Trend
    repeats: bool
    notes: tuple[str, ...]


@dataclass(frozen=True, eq=False)
class _Rows:
    """The ratings with their order; places count from 0."""

    assessor: "Places"
    sample: "Places"
    value: "Floats"
    position: "Places"
    before: "Places"
    sitting: "Places"

    def keep(self, kept: "NDArray[np.bool_]") -> "_Rows":
        return _Rows(
            assessor=self.assessor[kept],
            sample=self.sample[kept],
            value=self.value[kept],
            position=self.position[kept],
            before=self.before[kept],
            sitting=self.sitting[kept],
        )


@dataclass(frozen=True)
class _Tested:
    test: FTest | None
    estimates: tuple[float, ...] | None
    reason: str | None


def analyse_order(
    ratings: Ratings, positions: Sequence[int], sittings: Sequence[int] | None = None
) -> OrderEffects:
    """Test whether the serving order shows in the ratings.

    Parameters
    ----------
    ratings : Ratings
        One attribute.
    positions : sequence of int, length n
        Place of every value's cup in its assessor's serving order, from 1, in
        the order of the rows of `ratings`.
    sittings : sequence of int, length n, optional
        Number of the sitting, in order of time; positions begin anew in each.

    Returns
    -------
    OrderEffects

    Raises
    ------
    ValueError
        If the lengths differ, a position is below 1, or an assessor has two
        values at one position of a sitting.

    Notes
    -----
    Linear models by least squares, each effect tested by the extra sum of
    squares over the residual of the model that holds it [1]_. Assessors and
    samples are always taken out; where every cell was rated at least twice,
    so is assessor x sample, for the values of a cell are not independent. The
    position is tested without the carry-over in the model, since the first cup,
    where effects of position are largest, is just the one without a
    predecessor.

    A significant effect of a balanced order does not bias the means of the
    samples; it says that the spread of the ratings holds more than the samples.

    References
    ----------
    .. [1] Jones, B. & Kenward, M. G. (2014). Design and Analysis of Cross-Over
       Trials, 3rd edition, chapters 4 and 5 (from memory).

    Examples
    --------
    >>> from server.stats.ratings import build_ratings
    >>> people, names = ["a"] * 3 + ["b"] * 3 + ["c"] * 3, [*"XYZ", *"YZX", *"ZXY"]
    >>> ratings = build_ratings(people, names, [5, 4, 4, 7, 5, 4, 8, 3, 6])
    >>> found = analyse_order(ratings, [1, 2, 3] * 3).position
    >>> found.test.df, {place: round(effect, 6) for place, effect in found.effects.items()}
    ((2.0, 2.0), {'1': 1.555556, '2': -1.111111, '3': -0.444444})
    """
    import numpy as np

    places, numbers = _check(ratings, positions, sittings)
    at, position = np.unique(places, return_inverse=True)
    when, sitting = np.unique(numbers, return_inverse=True)
    before = _find_before(ratings, places, sitting)
    rows = _Rows(ratings.assessor, ratings.sample, ratings.value, position, before, sitting)
    _, known = _read_nuisance(rows)
    first = _test_position(rows, len(at))
    carried = _test_carry_over(rows, len(at), len(ratings.samples))
    drifted, line = _test_sittings(rows, when)
    found = (first, carried, drifted, line)
    return OrderEffects(
        position=_name(first, [str(place) for place in at]),
        carry_over=_name(carried, ratings.samples),
        sitting=_name(drifted, [str(number) for number in when]),
        drift=Trend(line.test, line.estimates[0] if line.estimates else None),
        repeats=known,
        notes=_notes(found, len(at), len(when), int((before == MISSING).sum())),
    )


def _check(
    ratings: Ratings, positions: Sequence[int], sittings: Sequence[int] | None
) -> "tuple[Places, Places]":
    import numpy as np

    n = len(ratings.value)
    sittings = [1] * n if sittings is None else sittings
    for name, column in (("positions", positions), ("sittings", sittings)):
        if len(column) != n:
            raise ValueError(f"{name} must be as many as values ({n}), not {len(column)}")
    places, numbers = np.asarray(positions, dtype=np.intp), np.asarray(sittings, dtype=np.intp)
    if places.min() < 1:
        raise ValueError(f"positions must be 1 or more, not {places.min()}")
    keys, times = np.unique(
        np.column_stack([ratings.assessor, numbers, places]), axis=0, return_counts=True
    )
    if times.max() > 1:
        person, number, place = keys[times.argmax()]
        raise ValueError(
            f"positions must differ within a sitting: {ratings.assessors[person]!r} has "
            f"{times.max()} values at position {place} of sitting {number}"
        )
    return places, numbers


def _find_before(ratings: Ratings, places: "Places", sitting: "Places") -> "Places":
    """Return the sample that was tasted just before, FIRST or MISSING for each value."""
    import numpy as np

    keys = zip(ratings.assessor.tolist(), sitting.tolist(), places.tolist(), strict=True)
    held = dict(zip(keys, ratings.sample.tolist(), strict=True))
    return np.array(
        [
            FIRST if place == 1 else held.get((person, number, place - 1), MISSING)
            for person, number, place in held
        ],
        dtype=np.intp,
    )


def _test_position(rows: _Rows, positions: int) -> _Tested:
    sittings = _mark(rows.sitting, int(rows.sitting.max()) + 1)
    return _test(rows, [sittings], _mark(rows.position, positions), POSITION)


def _test_carry_over(rows: _Rows, positions: int, samples: int) -> _Tested:
    known = rows.before != MISSING
    if not known.any():
        return _Tested(None, None, CONFOUNDED.format(CARRY_OVER))
    kept = rows.keep(known)
    taken_out = [
        _mark(kept.sitting, int(rows.sitting.max()) + 1),
        _mark(kept.position, positions),
    ]
    return _test(kept, taken_out, _mark(kept.before, samples), CARRY_OVER)


def _test_sittings(rows: _Rows, when: "Places") -> tuple[_Tested, _Tested]:
    positions = _mark(rows.position, int(rows.position.max()) + 1)
    each = _test(rows, [positions], _mark(rows.sitting, len(when)), SITTING)
    line = when[rows.sitting].astype("f8")[:, None]
    return each, _test(rows, [positions], line, DRIFT)


def _test(rows: _Rows, taken_out: "list[Floats]", tested: "Floats", what: str) -> _Tested:
    """Test the columns of `tested` with nuisance and `taken_out` in the model."""
    import numpy as np

    groups, _ = _read_nuisance(rows)
    blocks = [_mark(rows.sample, int(rows.sample.max()) + 1), *taken_out]
    base = _centre(np.column_stack(blocks), groups)
    columns = tested.shape[1]
    value = _centre(rows.value[:, None], groups)[:, 0]
    less, _, rank = _fit(base, value)
    left, estimates, full = _fit(np.column_stack([base, _centre(tested, groups)]), value)
    added, freedom = full - rank, len(value) - int(groups.max()) - 1 - full
    dust = DUST * float((rows.value**2).sum())
    effect, error = _build_line(less - left, added, dust), _build_line(left, freedom, dust)
    reason = _find_reason(effect, error, columns, what)
    whole = added > 0 and added >= columns - 1
    own = estimates[-columns:] - (estimates[-columns:].mean() if columns > 1 else 0.0)
    return _Tested(compare(effect, error), tuple(own.tolist()) if whole else None, reason)


def _find_reason(effect: Line, error: Line, columns: int, what: str) -> str | None:
    reasons = {
        CONFOUNDED: effect.df == 0,
        NO_FREEDOM: error.df == 0,
        NO_ERROR: error.mean_square == 0,
        PARTLY: effect.df < columns - 1,
    }
    return next((sentence.format(what) for sentence, holds in reasons.items() if holds), None)


def _read_nuisance(rows: _Rows) -> "tuple[Places, bool]":
    """Return the groups to centre values within: cells if all were repeated, else assessors."""
    import numpy as np

    cells = rows.assessor * (int(rows.sample.max()) + 1) + rows.sample
    _, groups, sizes = np.unique(cells, return_inverse=True, return_counts=True)
    if sizes.min() > 1:
        return groups, True
    return np.unique(rows.assessor, return_inverse=True)[1], False


def _mark(places: "Places", levels: int) -> "Floats":
    """Return a column of 0 and 1 for each level."""
    import numpy as np

    return np.asarray(places[:, None] == np.arange(levels), dtype=np.float64)


def _centre(columns: "Floats", groups: "Places") -> "Floats":
    import numpy as np

    sums = np.zeros((int(groups.max()) + 1, columns.shape[1]))
    np.add.at(sums, groups, columns)
    centred: Floats = columns - (sums / np.bincount(groups)[:, None])[groups]
    return centred


def _fit(columns: "Floats", value: "Floats") -> "tuple[float, Floats, int]":
    """Return the residual sum of squares, the coefficients and the rank."""
    import numpy as np

    solved, _, rank, _ = np.linalg.lstsq(columns, value, rcond=EXACT)
    estimates = np.asarray(solved, dtype=np.float64)
    return float(((value - columns @ estimates) ** 2).sum()), estimates, int(rank)


def _build_line(squares: float, df: int, dust: float) -> Line:
    squares = 0.0 if squares <= dust or not df else squares
    return Line(squares, df, squares / df if df else None)


def _name(tested: _Tested, labels: Sequence[str]) -> Effect:
    if tested.estimates is None:
        return Effect(tested.test, None)
    return Effect(tested.test, dict(zip(labels, tested.estimates, strict=True)))


def _notes(
    found: Sequence[_Tested], positions: int, sittings: int, missing: int
) -> tuple[str, ...]:
    first, carried, drifted, line = found
    told = [ONE_POSITION] if positions == 1 else [first.reason, carried.reason]
    told += [ONE_SITTING] if sittings == 1 else [drifted.reason, line.reason]
    told += [UNKNOWN.format(missing)] if missing else []
    return tuple(sentence for sentence in told if sentence)
