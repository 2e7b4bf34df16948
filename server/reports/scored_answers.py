"""Answers of a scored table met by the key: filled sheets, ready for the analysis."""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
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
) -> tuple[SeatTable, ...]:
    """Meet answers with the key, in the order of the sealed servings; warm-up cups are left out."""
    named = names_bowls(sealed)
    width = len(str(max(seat.number for seat in sealed.seats)))
    return tuple(
        _read_one(sealed, sheet, serving, answers[serving.id], seats[serving.id], named, width)
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


def _read_one(
    sealed: SealedTasting,
    sheet: Sheet,
    serving: PlannedServing,
    given: GivenAnswer,
    seat: int,
    named: bool,
    width: int,
) -> SeatTable:
    stands = list_stands(serving)
    answer, refused = read_answer(sheet, stands, given.answer)
    pots = _find_pots(sealed, serving, stands)
    assessor = name_assessor(seat, width)
    return SeatTable(
        serving=serving.id,
        seat=seat,
        assessor=assessor,
        sitting=serving.sitting,
        stands=stands,
        answer=answer,
        refused=refused,
        filled=Filled(
            assessor,
            str(serving.sitting),
            stands,
            answer.values,
            _find_truths(sealed, serving, stands, pots if named else {}),
        ),
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
