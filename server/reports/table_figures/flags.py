"""Flags cup by cup as data, words and a table: which cups of a sample, for what, how strongly."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from server.reports.display import show_count
from server.reports.table_figures import words
from server.reports.table_figures.lettering import clean
from server.reports.table_figures.shown import Names, Numbers, list_names, show_short
from server.stats.defects import count_cups


@dataclass(frozen=True)
class Flag:
    """What one assessor said of one cup.

    Attributes
    ----------
    assessor, sample, cup : str
        Cups are named within their sample, such as by the number of the bowl.
    word : str
        Empty if the cup was tasted and not flagged.
    intensity : float or None
        None if it was not said.
    """

    assessor: str
    sample: str
    cup: str
    word: str = ""
    intensity: float | None = None


@dataclass(frozen=True)
class FlagMark:
    """One word at one cup.

    Attributes
    ----------
    cup : str
    finders : tuple of str
    intensity : float or None
        The strongest said.
    """

    cup: str
    finders: tuple[str, ...]
    intensity: float | None


@dataclass(frozen=True)
class FlaggedSample:
    """The cups of one sample.

    Attributes
    ----------
    sample : str
    cups : tuple of str
        Those tasted.
    flagged : int
        How many of them carry a flag, whoever said so.
    words : mapping of str to tuple of FlagMark
        The word at most cups first.
    """

    sample: str
    cups: tuple[str, ...]
    flagged: int
    words: Mapping[str, tuple[FlagMark, ...]]


@dataclass(frozen=True)
class Flags:
    """Flags of a table.

    Attributes
    ----------
    attribute : str
    cups : tuple of str
        Columns.
    samples : tuple of FlaggedSample
    highest : float
        The strongest intensity there is.
    """

    attribute: str
    cups: tuple[str, ...]
    samples: tuple[FlaggedSample, ...]
    highest: float


def build_flags(
    attribute: str, said: Sequence[Flag], highest: float, names: Names | None = None
) -> Flags:
    """Build the grid from everything said, tasted cups without a flag among it.

    Raises
    ------
    ValueError
        If nothing was said, or `highest` is not above 0.

    Examples
    --------
    >>> said = [Flag("ann", "X", "1", "musty", 2), Flag("bo", "X", "1"), Flag("bo", "X", "2")]
    >>> [sample] = build_flags("off", said, 3).samples
    >>> sample.flagged, sample.cups, sample.words["musty"][0].finders
    (1, ('1', '2'), ('ann',))
    """
    if not said:
        raise ValueError("said must hold one cup or more, not none")
    if not highest > 0:
        raise ValueError(f"highest must be above 0, not {highest}")
    called = names or Names()
    cups = tuple(dict.fromkeys(clean(one.cup) for one in said))
    samples = dict.fromkeys(one.sample for one in said)
    return Flags(
        called.attribute(attribute),
        tuple(sorted(cups, key=_sort_cups)),
        tuple(
            _build_sample(name, [x for x in said if x.sample == name], called) for name in samples
        ),
        highest,
    )


def _sort_cups(cup: str) -> tuple[int, str]:
    return (int(cup), "") if cup.isdecimal() else (1_000_000, cup)


def _build_sample(name: str, said: Sequence[Flag], called: Names) -> FlaggedSample:
    found: dict[str, dict[str, list[Flag]]] = {}
    for one in said:
        if one.word:
            found.setdefault(clean(one.word), {}).setdefault(clean(one.cup), []).append(one)
    counted = count_cups([name] * len(said), [x.cup for x in said], [bool(x.word) for x in said])
    order = sorted(found, key=lambda word: (-len(found[word]), word))
    return FlaggedSample(
        sample=called.sample(name),
        cups=tuple(sorted({clean(one.cup) for one in said}, key=_sort_cups)),
        flagged=counted[name][0],
        words={
            word: tuple(
                _mark(cup, found[word][cup], called) for cup in sorted(found[word], key=_sort_cups)
            )
            for word in order
        },
    )


def _mark(cup: str, said: Iterable[Flag], called: Names) -> FlagMark:
    said = list(said)
    known = [one.intensity for one in said if one.intensity is not None]
    finders = tuple(dict.fromkeys(called.assessor(one.assessor) for one in said))
    return FlagMark(cup, finders, max(known, default=None))


def describe(data: Flags) -> str:
    """Say how many cups of which samples were flagged, and for what most."""
    flagged = [one for one in data.samples if one.flagged]
    if not flagged:
        return words.FLAGS_ALT_NONE.format(samples=show_count(len(data.samples), "sample"))
    counts = [
        words.FLAGGED_OF.format(sample=one.sample, flagged=one.flagged, cups=len(one.cups))
        for one in sorted(flagged, key=lambda one: -one.flagged / len(one.cups))
    ]
    by: dict[str, int] = {}
    for one in flagged:
        for word, marks in one.words.items():
            by[word] = by.get(word, 0) + len(marks)
    most = max(by, key=lambda word: by[word])
    told = words.FLAGS_MOST.format(word=most, cups=show_count(by[most], "cup"))
    return f"{words.FLAGS_ALT.format(counts=list_names(counts))} {told}"


def tabulate(data: Flags) -> Numbers:
    """Return the flags, a row a cup and word; a row for a sample without any."""
    rows: list[tuple[str, ...]] = []
    for one in data.samples:
        cups = words.FLAGGED.format(flagged=one.flagged, cups=len(one.cups))
        if not one.words:
            rows.append((one.sample, cups, words.FLAGS_NONE, *([words.NOT_TASTED] * 4)))
        for word, marks in one.words.items():
            rows += [(one.sample, cups, word, *_show(mark)) for mark in marks]
    return Numbers(words.FLAGS_HEAD, tuple(rows))


def _show(mark: FlagMark) -> tuple[str, str, str, str]:
    strongest = words.NOT_TASTED if mark.intensity is None else show_short(mark.intensity)
    return mark.cup, str(len(mark.finders)), strongest, ", ".join(mark.finders)
