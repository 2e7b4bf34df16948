"""Answers of a scored table met by the key: filled sheets, ready for the analysis."""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple
from uuid import UUID

from pydantic import ValidationError

from server.blinding.record import GivenAnswer
from server.blinding.sealed import PlannedServing, SealedTasting
from server.blinding.table_stands import Stand, is_scored, list_stands
from server.sheets.filled import Filled, Truth
from server.sheets.places import Place, list_places
from server.sheets.scales.base import InvalidValue
from server.sheets.sheet import Sheet, add_words
from server.sheets.values import Answer, Value, list_missing


@dataclass(frozen=True)
class SeatTable:
    """What one seat said in one sitting.

    Attributes
    ----------
    serving
        Its id.
    seat, assessor, sitting
        Number of the seat, what its person is called in the analysis, number of the sitting.
    stands
        What stood there, in the order of tasting.
    answer
        As far as the sheet can take it.
    refused
        Values that the sheet cannot take; they are left out.
    filled
        The sheet met by the key.
    pots
        Name of the brew at every code and bowl, shared or not; bowl 0 too, if it is one brew.
    source
        ``device`` or ``paper``.
    """

    serving: UUID
    seat: int
    assessor: str
    sitting: int
    stands: tuple[Stand, ...]
    answer: Answer
    refused: int
    filled: Filled
    pots: Mapping[tuple[str, int], str]
    source: str = "device"

    def find_sample(self, code: str) -> str:
        """Return the level of what stood under a code."""
        return self.filled.key[code, 0].sample


@dataclass(frozen=True)
class Missing:
    """Places without a value, of all places of the answers that count."""

    required: int
    optional: int
    places: int


def read_tables(
    sealed: SealedTasting,
    sheet: Sheet,
    answers: Mapping[UUID, GivenAnswer],
    seats: Mapping[UUID, int],
    words: Mapping[int, Sequence[str]],
) -> tuple[SeatTable, ...]:
    """Meet answers with the key, in the order of the sealed servings.

    Parameters
    ----------
    sealed, sheet
        The table, and what it asks.
    answers
        By serving; those of warm-up cups are left out.
    seats
        Serving to the seat whose person tasted it.
    words
        Own words by the seat where they were chosen.
    """
    width = len(str(max(seat.number for seat in sealed.seats)))
    return tuple(
        _read_one(
            sealed,
            sheet,
            serving,
            answers[serving.id],
            Taster(seats[serving.id], name_assessor(seats[serving.id], width), words),
        )
        for serving in sealed.servings
        if serving.id in answers and is_scored(sealed, serving)
    )


def names_bowls(sealed: SealedTasting) -> bool:
    """Tell whether bowls can be told from samples: shared, and some sample stood in two."""
    table = sealed.plan.table
    many = Counter(slot.sample for slot in sealed.slots)
    return table is not None and table.shared and max(many.values(), default=0) > 1


def name_assessor(seat: int, width: int = 1) -> str:
    """Return what the person of a seat is called in the analysis.

    Examples
    --------
    >>> name_assessor(3, 2)
    'seat 03'
    """
    return f"seat {seat:0{width}}"


def count_missing(sheet: Sheet, tables: Iterable[SeatTable]) -> Missing:
    """Count where nothing was said although it was asked."""
    required = optional = places = 0
    for one in tables:
        mine = add_words(sheet, one.answer.words)
        gaps = list_missing(mine, one.stands, one.answer.values)
        required += sum(gap.required for gap in gaps)
        optional += sum(not gap.required for gap in gaps)
        places += len(list_places(mine, one.stands))
    return Missing(required, optional, places)


class Taster(NamedTuple):
    """Whose person tasted: number of the seat, its name in the analysis, words by seat."""

    seat: int
    name: str
    words: Mapping[int, Sequence[str]]

    def find_words(self, serving: PlannedServing) -> Sequence[str]:
        """Return the own words chosen where the serving stood, or at the person's own seat."""
        return self.words.get(serving.seat) or self.words.get(self.seat, ())


def _read_one(
    sealed: SealedTasting,
    sheet: Sheet,
    serving: PlannedServing,
    given: GivenAnswer,
    taster: Taster,
) -> SeatTable:
    stands = list_stands(serving)
    body = {"words": taster.find_words(serving)} | {k: v for k, v in given.answer.items() if v}
    answer, refused = read_answer(sheet, stands, body)
    pots = _find_pots(sealed, serving, stands)
    key = _find_truths(sealed, serving, stands, pots if names_bowls(sealed) else {})
    return SeatTable(
        serving=serving.id,
        seat=taster.seat,
        assessor=taster.name,
        sitting=serving.sitting,
        stands=stands,
        answer=answer,
        refused=refused,
        filled=Filled(taster.name, str(serving.sitting), stands, answer.values, key),
        pots=pots,
        source=given.source,
    )


def read_answer(
    sheet: Sheet, stands: Sequence[Stand], body: Mapping[str, object]
) -> tuple[Answer, int]:
    """Read what a seat said, and count what the sheet cannot take."""
    try:
        answer = Answer.model_validate(dict(body))
    except ValidationError:
        return Answer(), 1
    mine = add_words(sheet, answer.words)
    scales = {one.name: one.scale for one in mine.attributes}
    places = set(list_places(mine, stands))
    codes = tuple(one.code for one in stands)

    def fits(one: Value) -> bool:
        try:
            if one.place in places:
                scales[one.attribute].check(one.value, codes)
        except InvalidValue:
            return False
        return one.place in places

    kept: dict[Place, Value] = {one.place: one for one in answer.values if fits(one)}
    refused = len(answer.values) - len(kept)
    return answer.model_copy(update={"values": tuple(kept.values())}), refused


def _find_pots(
    sealed: SealedTasting, serving: PlannedServing, stands: Sequence[Stand]
) -> dict[tuple[str, int], str]:
    pots = {(cup.code, cup.bowl): sealed.key[cup.id] for cup in serving.cups}
    for stand in stands:
        under = {sealed.key[cup.id] for cup in stand.cups}
        if len(under) == 1:
            pots[stand.code, 0] = under.pop()
    return pots


def _find_truths(
    sealed: SealedTasting,
    serving: PlannedServing,
    stands: Sequence[Stand],
    bowls: Mapping[tuple[str, int], str],
) -> dict[tuple[str, int], Truth]:
    truths: dict[tuple[str, int], Truth] = {}
    for stand in stands:
        sample = sealed.get_sample(serving, stand.code)
        for bowl in {0, *stand.bowls}:
            name = bowls.get((stand.code, bowl))
            truths[stand.code, bowl] = Truth(sample, name, stand.place)
    return truths
