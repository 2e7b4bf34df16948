"""Just-about-right answers as data, words and a table: too little, about right, too much."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from server.reports.display import show_count, show_share
from server.reports.table_figures import words
from server.reports.table_figures.shown import Names, Numbers


@dataclass(frozen=True)
class Sides:
    """How many answered what of one sample.

    Attributes
    ----------
    below, right, above : int
        Too little, about right, too much.
    """

    below: int
    right: int
    above: int

    @property
    def total(self) -> int:
        """All answers."""
        return self.below + self.right + self.above


@dataclass(frozen=True)
class RightPanel:
    """One attribute.

    Attributes
    ----------
    attribute : str
    rows : tuple of (str, Sides)
        By sample.
    """

    attribute: str
    rows: tuple[tuple[str, Sides], ...]


@dataclass(frozen=True)
class RightBars:
    """Just-about-right answers of a table.

    Attributes
    ----------
    panels : tuple of RightPanel
    """

    panels: tuple[RightPanel, ...]


def build_right(
    counts: Mapping[str, Mapping[str, Sequence[int]]], names: Names | None = None
) -> RightBars:
    """Build the bars from how often each answer was given, by attribute and sample.

    Parameters
    ----------
    counts : mapping of str to mapping of str to sequence of int
        From the lowest answer to the highest, the one in the middle being about
        right: the `counts` of `server.stats.jar`.
    names : Names, optional

    Raises
    ------
    ValueError
        If a scale has no middle answer.

    Examples
    --------
    >>> [panel] = build_right({"body": {"X": (1, 2, 6, 3, 0)}}).panels
    >>> panel.rows
    (('X', Sides(below=3, right=6, above=3)),)
    """
    called = names or Names()
    return RightBars(
        tuple(
            RightPanel(
                called.attribute(name),
                tuple((called.sample(sample), split(row)) for sample, row in rows.items()),
            )
            for name, rows in counts.items()
        )
    )


def split(counts: Sequence[int]) -> Sides:
    """Return the answers below, at and above the middle of a scale.

    Examples
    --------
    >>> split((1, 5, 2))
    Sides(below=1, right=5, above=2)
    """
    if len(counts) < 3 or len(counts) % 2 == 0:
        raise ValueError(
            f"counts must be of an odd number of answers, 3 or more, not {len(counts)}"
        )
    middle = len(counts) // 2
    return Sides(sum(counts[:middle]), counts[middle], sum(counts[middle + 1 :]))


def describe(data: RightBars) -> str:
    """Say what the figure shows, and which sample is farthest to one side in what."""
    shown = words.RIGHT_ALT.format(
        samples=show_count(max(len(panel.rows) for panel in data.panels), "sample"),
        attributes=show_count(len(data.panels), "attribute"),
    )
    sided = [
        (count / sides.total, sample, panel.attribute, side)
        for panel in data.panels
        for sample, sides in panel.rows
        for count, side in ((sides.below, words.BELOW), (sides.above, words.ABOVE))
        if count
    ]
    if not sided:
        return f"{shown} {words.RIGHT_BALANCED}"
    share, sample, attribute, side = max(sided, key=lambda one: one[0])
    most = words.RIGHT_MOST.format(
        sample=sample, attribute=attribute, share=show_share(share), side=side
    )
    return f"{shown} {most}"


def tabulate(data: RightBars) -> Numbers:
    """Return the answers, a row a sample and attribute."""
    rows = tuple(
        (panel.attribute, sample, str(sides.total), *show_sides(sides))
        for panel in data.panels
        for sample, sides in panel.rows
    )
    return Numbers(words.RIGHT_HEAD, rows)


def show_sides(sides: Sides) -> tuple[str, str, str]:
    """Show the three shares.

    Examples
    --------
    >>> show_sides(Sides(1, 2, 1)), show_sides(Sides(0, 0, 0))[0]
    (('25%', '50%', '25%'), '–')
    """
    if not sides.total:
        return (words.NOT_TASTED,) * 3
    below, right, above = (
        show_share(count / sides.total) for count in (sides.below, sides.right, sides.above)
    )
    return below, right, above
