"""What is known of a recipe against the house reference, in numbers and in a few sentences."""

from collections.abc import Iterator, Mapping, Sequence
from statistics import median

from server.brewing.brew_times import write_minutes
from server.brewing.extraction import Form
from server.reports import benchmark_words as words
from server.reports.benchmark import (
    FEWEST,
    LEVEL,
    Difference,
    RecipeNumbers,
    Summary,
    find_difference,
)
from server.reports.benchmark_tastings import MeanRow, Outcome, Said, count_outcomes
from server.reports.brew_words import FORMS
from server.reports.display import join_words, show_count, show_share
from server.reports.table_names import show_points

CLEAR_TDS = 0.1
"""%TDS beyond which strength alone may be what is tasted; common practice, no source."""


def show_middle(found: Summary | None, what: str) -> str:
    """Show a median with its limits.

    Examples
    --------
    >>> from server.reports.benchmark import Point
    >>> points = Point(1.31, 0.006, 0.017), Point(1.33, 0.006, 0.017)
    >>> show_middle(Summary(points, 1.32, 0.046), words.STRENGTH)
    '1.32 ± 0.05'
    """
    if found is None:
        return words.NONE
    places = words.DECIMALS[what]
    return f"{found.middle:.{places}f} ± {max(found.plus_minus, 10**-places):.{places}f}"


def count_read(found: Summary | None) -> str:
    """Show of how many brews a median is; nothing of none."""
    return "" if found is None else words.OF.format(brews=show_count(len(found.points), "brew"))


def show_spread(found: Summary | None, what: str) -> str:
    """Show the smallest and the largest number of the brews."""
    if found is None or len(found.points) < FEWEST:
        return words.NONE
    places = words.DECIMALS[what]
    return f"{found.values[0]:.{places}f} to {found.values[-1]:.{places}f}"


def show_yields(yields: Mapping[Form, Summary]) -> tuple[tuple[str, str], ...]:
    """Show the yield of every form by itself, and beside it of how many brews by which form."""
    return tuple(
        (show_middle(one, words.EXTRACTION), f"{count_read(one)}, {FORMS[form]}")
        for form, one in yields.items()
    ) or ((words.NONE, ""),)


def show_times(times: tuple[int, ...]) -> str:
    """Show the middle brew time, and the shortest and longest.

    Examples
    --------
    >>> show_times((170, 180, 196)), show_times(())
    ('3:00 (2:50 to 3:16)', '–')
    """
    if not times:
        return words.NONE
    middle = write_minutes(round(median(times)))
    ends = f" ({write_minutes(times[0])} to {write_minutes(times[-1])})"
    return middle + (ends if times[0] < times[-1] else "")


def show_mean(row: MeanRow) -> tuple[str, str, str, str]:
    """Show a difference of means: question, difference, limits, told apart or not."""
    limits = (
        f"{show_points(row.limits.low)} to {show_points(row.limits.high)}" if row.limits else ""
    )
    told = words.APART.get(row.standing, words.NO) if row.apart else words.NO
    sign = "+" if row.difference > 0 else ""
    difference = sign + show_points(row.difference)
    return row.question, difference, limits or words.NO_LIMITS, told


def say_samples(said: Said) -> str:
    """Say which sample was brewed by which recipe."""
    mine, its = said.labels
    return words.SAMPLES.format(mine=mine, its=its)


def answer(mine: RecipeNumbers, house: RecipeNumbers, said: Sequence[Said]) -> tuple[str, ...]:
    """Say in a few sentences what is known of a recipe against the house reference.

    Parameters
    ----------
    mine, house : RecipeNumbers
    said : sequence of Said
        What the finding of each tasting says of the two.

    Returns
    -------
    tuple of str
        What was tasted, what was read, on how much it rests, what is unknown, what to do next.
    """
    return (
        *_say_tasted(said),
        *_say_read(mine, house),
        words.RESTS.format(
            mine=show_count(mine.brews, "brew"),
            its=house.brews,
            tastings=show_count(len(said), "tasting"),
        ),
        words.UNKNOWN.format(what="; ".join(_list_unknown(mine, house, said))),
        words.NEXT.format(step=words.STEPS[_choose_step(mine, house, said)].format(fewest=FEWEST)),
    )


def _say_tasted(said: Sequence[Said]) -> Iterator[str]:
    counts = count_outcomes(said)
    if len(counts) > 1:
        told = [words.TOLD[one].format(n=show_count(n, "tasting")) for one, n in counts.items()]
        yield words.DISAGREE.format(told=join_words(told))
    elif counts:
        yield words.TASTED[next(iter(counts))]
    else:
        asked = any(not one.liking for one in said)
        yield words.NO_CONCLUSION if asked else words.NOT_TASTED
    for one in said:
        if one.liking:
            yield words.LIKED.format(headline=one.headline, samples=say_samples(one))


def _say_read(mine: RecipeNumbers, house: RecipeNumbers) -> Iterator[str]:
    strength = find_difference(mine.strength, house.strength)
    yield _say_difference(words.STRENGTH, strength)
    if strength is not None and len(mine.instruments | house.instruments) > 1:
        yield words.INSTRUMENTS
    shared = _find_shared_form(mine, house)
    if shared is None and mine.yields and house.yields:
        yield words.FORMS_DIFFER
    else:
        yield _say_difference(words.EXTRACTION, _compare_yields(mine, house))


def _say_difference(what: str, found: Difference | None) -> str:
    if found is None:
        return words.NOT_COMPARED[what].format(fewest=FEWEST)
    places, (more, less) = words.DECIMALS[what], words.MORE[what]
    low, high = found.limits
    if not found.is_clear:
        return words.UNCLEAR.format(
            what=what,
            difference=_show(found.value, places),
            unit=words.UNITS[what],
            level=show_share(LEVEL),
            low=_show(low, places),
            high=_show(high, places),
        )
    ends = sorted((abs(low), abs(high)))
    return words.CLEAR.format(
        more=more if found.value > 0 else less,
        size=f"{abs(found.value):.{places}f}",
        unit=words.UNITS[what],
        level=show_share(LEVEL),
        low=f"{ends[0]:.{places}f}",
        high=f"{ends[1]:.{places}f}",
    )


def _show(value: float, places: int) -> str:
    shown = f"{value:+.{places}f}".replace("-", "−")
    return shown[1:] if not shown.strip("+−0.") else shown


def _find_shared_form(mine: RecipeNumbers, house: RecipeNumbers) -> Form | None:
    """Return the form by which both have most yields; None if they share none."""
    shared = [form for form in mine.yields if form in house.yields]
    fewest = {
        form: min(len(mine.yields[form].points), len(house.yields[form].points)) for form in shared
    }
    return max(shared, key=lambda form: fewest[form], default=None)


def _compare_yields(mine: RecipeNumbers, house: RecipeNumbers) -> Difference | None:
    form = _find_shared_form(mine, house)
    return None if form is None else find_difference(mine.yields[form], house.yields[form])


def _list_unknown(mine: RecipeNumbers, house: RecipeNumbers, said: Sequence[Said]) -> Iterator[str]:
    if not count_outcomes(said):
        yield words.UNASKED["noticing"]
    if not _list_liked(said) - {Outcome.CLOUDED}:
        yield words.UNASKED["liking"]
    if find_difference(mine.strength, house.strength) is None:
        yield words.UNASKED["strength"]
    extraction = _compare_yields(mine, house)
    if extraction is None or not extraction.is_clear:
        yield words.UNASKED["extraction"]
    yield words.UNASKED["others"]


def _choose_step(mine: RecipeNumbers, house: RecipeNumbers, said: Sequence[Said]) -> str:
    counts, strength = count_outcomes(said), find_difference(mine.strength, house.strength)
    if strength is None:
        return "brew"
    if not counts:
        far = strength.is_clear and abs(strength.value) > CLEAR_TDS
        return "match" if far else "taste"
    if len(counts) > 1:
        return "disagree"
    liked = _list_liked(said)
    asked = "again" if liked == {Outcome.CLOUDED} else "other"
    by_outcome = {
        Outcome.CLOUDED: "again",
        Outcome.NOT_SHOWN: "few",
        Outcome.FEW: "other",
        Outcome.APART: asked if liked else "like",
    }
    return by_outcome[next(iter(counts))]


def _list_liked(said: Sequence[Said]) -> set[Outcome]:
    """List what tastings that asked for liking came to, those without a conclusion left out."""
    return {one.outcome for one in said if one.liking} - {Outcome.NONE}
