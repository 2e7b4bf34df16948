"""Marks under the cups: how a tasting alone learns its key, after the answers."""

from collections import Counter
from collections.abc import Mapping, Sequence
from uuid import UUID

from server.blinding.events import Event, Kind
from server.blinding.record import Record, fold
from server.blinding.sealed import Layout, PlannedServing, SealedTasting

Marks = Mapping[UUID, str | None]
"""Cup to the brew slot that stands under it; None where the mark is lost."""


class ImpossibleMarks(ValueError):
    """Marks that cannot be those of the cups poured.

    Attributes
    ----------
    serving : UUID
        Whose marks they are.
    slots : tuple of str
        Brew slots that were named more often than poured.
    """

    def __init__(self, serving: UUID, slots: tuple[str, ...]) -> None:
        super().__init__(f"marks must be among those poured, not once more {', '.join(slots)}")
        self.serving = serving
        self.slots = slots


def check_marks(serving: PlannedServing, marks: Marks) -> None:
    """Refuse marks that do not fit what was poured; lost ones fit everywhere.

    Parameters
    ----------
    serving : PlannedServing
        With its pours.
    marks : mapping of UUID to str or None
        Of each of its cups.

    Raises
    ------
    ImpossibleMarks
        If a brew slot is named more often than it was to be poured.
    ValueError
        If the cups are not those of the serving.

    Examples
    --------
    >>> from server.blinding.sealed import PlannedCup
    >>> cups = tuple(PlannedCup(id=UUID(int=n), code=f"41{n}", position=n) for n in (1, 2, 3))
    >>> serving = PlannedServing(
    ...     id=UUID(int=9), seat=1, sitting=1, round=1, comparison="test", cups=cups,
    ...     pours=("A1", "A2", "B1"),
    ... )
    >>> check_marks(serving, {cup.id: slot for cup, slot in zip(cups, ("B1", None, "A2"))})
    >>> check_marks(serving, {cup.id: slot for cup, slot in zip(cups, ("B1", "B1", "A2"))})
    Traceback (most recent call last):
    server.blinding.marks.ImpossibleMarks: marks must be among those poured, not once more B1
    """
    if set(marks) != {cup.id for cup in serving.cups}:
        raise ValueError(f"marks must be of the cups of serving {serving.id}, got {len(marks)}")
    named = Counter(slot for slot in marks.values() if slot is not None)
    too_often = named - Counter(serving.pours)
    if too_often:
        raise ImpossibleMarks(serving.id, tuple(sorted(too_often)))


def learn_key(sealed: SealedTasting, record: Record) -> SealedTasting:
    """Fill the key of a tasting alone from the marks; any other is returned as it is.

    A cup whose mark is lost stays out of the key: what stood in it is never guessed,
    not even from the marks of the cups beside it.
    """
    if not sealed.plan.alone:
        return sealed
    known = {cup: slot for cup, slot in record.marks.items() if slot is not None}
    return sealed.model_copy(update={"key": known})


def find_lost(sealed: Layout, record: Record) -> list[PlannedServing]:
    """List the servings with a lost mark: their answers cannot be judged."""
    marks = record.marks
    return [
        serving
        for serving in sealed.servings
        if any(cup.id in marks and marks[cup.id] is None for cup in serving.cups)
    ]


def find_open(layout: Layout, record: Record, sitting: int) -> list[PlannedServing]:
    """List the servings of a sitting that are neither answered nor taken out.

    As soon as there is none, marks may be entered.
    """
    done = {*record.answers, *record.voids, *record.struck}
    return [one for one in layout.servings if one.sitting == sitting and one.id not in done]


def find_reveal_problems(events: Sequence[Event], layout: Layout) -> list[str]:
    """Say where marks do not fit the cups, or came before the answers they decide.

    Parameters
    ----------
    events : sequence of Event
        Whose bodies are whole.
    layout : Layout
        With the pours.

    Returns
    -------
    list of str
        A sentence for each thing that does not fit.
    """
    found: list[str] = []
    for place, event in enumerate(events):
        if event.kind == Kind.REVEALED and event.body is not None:
            found += _find_mark_problems(fold(events[:place]), fold([event]), event.seq, layout)
    return found


def _find_mark_problems(before: Record, now: Record, seq: int, layout: Layout) -> list[str]:
    ((sitting, (reveal,)),) = now.reveals.items()
    mine = {one.id: one for one in layout.servings if one.sitting == sitting}
    found = []
    if find_open(layout, before, sitting):
        found.append(f"Event {seq} opens the marks of sitting {sitting} before its last answer.")
    for serving, marks in reveal.marks.items():
        if serving not in mine:
            found.append(f"Event {seq} has marks of a serving that is not of sitting {sitting}.")
            continue
        try:
            check_marks(mine[serving], marks)
        except ValueError as error:
            found.append(f"Event {seq} has impossible marks: {error}.")
    return found
