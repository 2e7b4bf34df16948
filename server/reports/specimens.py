"""The pieces of the part behind the counted answers, and how many brews each had made."""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import groupby
from uuid import UUID

from server.blinding.bench_plans import PlannedSpecimen
from server.blinding.record import Record
from server.blinding.sealed import PlannedSlot, SealedTasting
from server.brewing.brewed import PartState
from server.reports.brewed_notes import read_note
from server.reports.brews import Counted, find_compared, find_served_slots
from server.stats.brew_trend import Dose, TrendResult, find_trend

AGES = (0, 1, 2, 3, 6, 10, 20, 50, 100)
"""From how many brews on a piece counts as older in a table; chosen for short tables."""

PARTS = 60
"""What a brew is divided into, so that the mean of up to six whole numbers is one as well."""


@dataclass(frozen=True)
class PieceBrew:
    """A slot that was served, and the piece that made it.

    Attributes
    ----------
    slot
        Its name.
    brews
        Brews in it: the shots poured together, or the brews of a blend.
    piece
        Label of the piece; empty if nobody noted one.
    before
        Brews the piece had made before; None if nobody noted that.
    """

    slot: str
    brews: int
    piece: str = ""
    before: int | None = None

    @property
    def fresh(self) -> int:
        """How many of its brews were the first of a piece."""
        return int(self.before == 0)

    @property
    def unknown(self) -> int:
        """How many of its brews nobody knows the age of the piece of."""
        return self.brews if self.before is None else 0


@dataclass(frozen=True)
class PieceAge:
    """Answers to servings that held a cup of a brew, by what its piece had made before.

    Attributes
    ----------
    first, last
        Brews the piece had made before, from so many to so many.
    brews
        Slots served of such pieces.
    answers, right
        Counted answers to servings with a cup of them; with two such cups of different ages
        an answer stands in both.
    """

    first: int
    last: int
    brews: int
    answers: int
    right: int


@dataclass(frozen=True)
class SamplePieces:
    """The pieces of one sample.

    Attributes
    ----------
    level, label
        Of the sample.
    planned
        Pieces as they were sealed.
    served
        Brews behind counted answers.
    ages
        Right answers by how many brews the pieces had made before, as far as that was noted.
    trend
        Whether right answers go with that, both ways; None unless a new part was brewed with
        again. An answer's score is what the pieces behind its cups had made on average.
    """

    level: str
    label: str
    planned: tuple[PlannedSpecimen, ...]
    served: tuple[PieceBrew, ...]
    ages: tuple[PieceAge, ...] = ()
    trend: TrendResult | None = None

    @property
    def is_new(self) -> bool:
        """Whether the sample was sealed as the part when new."""
        return any(one.state == PartState.NEW for one in self.planned)

    @property
    def states(self) -> tuple[str, ...]:
        """The states of its pieces when it was sealed."""
        return tuple(dict.fromkeys(one.state for one in self.planned if one.state))

    @property
    def used(self) -> tuple[str, ...]:
        """Labels of the pieces that were noted; of those sealed where none was noted."""
        noted = tuple(dict.fromkeys(one.piece for one in self.served if one.piece))
        return noted or tuple(one.label for one in self.planned)

    @property
    def brews(self) -> int:
        """Brews behind counted answers."""
        return sum(one.brews for one in self.served)

    @property
    def fresh(self) -> int:
        """How many of them were the first of a piece."""
        return sum(one.fresh for one in self.served)

    @property
    def unknown(self) -> int:
        """Of how many of them nobody noted what the piece had made before."""
        return sum(one.unknown for one in self.served)

    @property
    def reused(self) -> int:
        """How many of them were made with a piece that had made brews before."""
        return self.brews - self.fresh - self.unknown

    @property
    def oldest(self) -> int:
        """The most brews that any of its pieces had made, its last one served included."""
        return max(
            (one.before + one.brews for one in self.served if one.before is not None), default=0
        )


def find_pieces(
    sealed: SealedTasting,
    record: Record,
    counted: Sequence[Counted],
    right: Mapping[UUID, bool] | None = None,
) -> tuple[SamplePieces, ...]:
    """Return the pieces of every compared sample; nothing where none was sealed or noted.

    Parameters
    ----------
    sealed : SealedTasting
        With its key.
    record : Record
        Whose notes say which piece made a brew.
    counted : sequence of Counted
        Answers or sheets that count.
    right : mapping of UUID to bool, optional
        Serving to whether its answer is right; nothing where no answer is.
    """
    planned = sealed.plan.bench.specimens if sealed.plan.bench else {}
    served = find_served_slots(sealed, counted)
    brews = {slot.name: _find_brew(slot, record) for slot in served}
    if not any(planned.values()) and not any(one.piece for one in brews.values()):
        return ()
    return tuple(
        _find_sample(
            sealed,
            (sample.level, sample.label),
            planned.get(sample.level, ()),
            {slot.name: brews[slot.name] for slot in served if slot.sample == sample.level},
            right or {},
        )
        for sample in find_compared(sealed)
    )


def _find_brew(slot: PlannedSlot, record: Record) -> PieceBrew:
    read = read_note(record.brews.get(slot.name))
    brews = slot.brews * read.shots
    if read.part is None:
        return PieceBrew(slot.name, brews)
    return PieceBrew(slot.name, brews, read.part.specimen, read.part.brews_before)


def _find_sample(
    sealed: SealedTasting,
    sample: tuple[str, str],
    planned: Sequence[PlannedSpecimen],
    brews: Mapping[str, PieceBrew],
    right: Mapping[UUID, bool],
) -> SamplePieces:
    level, label = sample
    mine = tuple(brews.values())
    held = {
        serving.id: [brews[name] for name in sealed.list_brews(serving) if name in brews]
        for serving in sealed.servings
        if serving.id in right
    }
    found = SamplePieces(
        level, label, tuple(planned), mine, _count_ages(mine, held, right) if right else ()
    )
    if not found.is_new or not found.reused or not right:
        return found
    return replace(found, trend=find_trend(_list_doses(held, right), "two"))


def _count_ages(
    brews: Iterable[PieceBrew],
    held: Mapping[UUID, Sequence[PieceBrew]],
    right: Mapping[UUID, bool],
) -> tuple[PieceAge, ...]:
    known = sorted(one.before for one in brews if one.before is not None)
    served = Counter(map(_find_age, known))
    answers: Counter[int] = Counter()
    found: Counter[int] = Counter()
    for serving, cups in held.items():
        for age in {_find_age(one.before) for one in cups if one.before is not None}:
            answers[age] += 1
            found[age] += right[serving]
    return tuple(
        PieceAge(min(span), max(span), served[age], answers[age], found[age])
        for age, span in ((age, list(span)) for age, span in groupby(known, _find_age))
    )


def _find_age(before: int) -> int:
    return max(age for age in AGES if age <= before)


def _list_doses(held: Mapping[UUID, Sequence[PieceBrew]], right: Mapping[UUID, bool]) -> list[Dose]:
    """List the answers to servings of which the age of every piece is known."""
    return [
        Dose(PARTS * sum(one.before or 0 for one in cups) // len(cups), 1, int(right[serving]))
        for serving, cups in held.items()
        if cups and not any(one.before is None for one in cups)
    ]
