"""A table as its seat sees it: pass by pass, question by question, code by code."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any
from uuid import UUID

from server.blinding.plans import Plan
from server.blinding.sealed import PlannedServing
from server.blinding.table_stands import Stand, list_stands
from server.methods.base import N_
from server.methods.registry import SCORED
from server.sheets.places import list_places
from server.sheets.sheet import Sheet
from server.sheets.values import Answer, Missing, list_missing
from server.tastings.answering import SeatPlace, find_draft, get_place, get_serving
from server.tastings.bench import Bench
from server.tastings.calibrating import find_bowl_before
from server.tastings.journal import AT_THE_TABLE
from server.tastings.scoring import Spread, find_spread, get_sheet, get_spread
from server.tastings.scoring_drafts import read_draft, write_moment
from server.tastings.scoring_passes import PASS_NAMES, Pass, is_held, list_passes


@dataclass(frozen=True)
class Manner:
    """What is said where a method would say it; a sheet asks its own questions."""

    form: str = "table"
    question: str = N_("Score every code on its own, whatever the others are like.")
    verdict: str = ""
    reference: bool = False
    instruction: str = N_("Nobody expects the same values of everybody: say what you find.")


SCORING = Manner()


def find_manner(plan: Plan) -> Manner:
    """Return what is said at a table: by the method it serves, or by a sheet of one's own."""
    method = SCORED.get(plan.table.method) if plan.table else None
    if method is None:
        return SCORING
    return Manner(question=method.question, instruction=method.instruction)


@dataclass(frozen=True)
class Gap:
    """A place where something is still to be said."""

    field: str
    code: str
    bowl: int
    label: str
    time: str
    required: bool
    message: str


@dataclass(frozen=True)
class Told:
    """A value in words, to be read once more before locking."""

    label: str
    time: str
    code: str
    bowl: int
    text: str


@dataclass(frozen=True)
class TableView:
    """A scored table before one seat; a warm-up cup has no passes.

    ``fields`` are the values so far as a form has them, ``gaps`` what is not said yet.
    ``asked`` is the one thing that its method asks, if it serves one: ``control`` or
    ``ranking``. ``calibration`` is the open bowl right before these codes; empty if there is none.
    """

    title: str
    sitting: int
    sittings: int
    shared: bool
    warm_up: bool
    stands: tuple[Stand, ...]
    own_words: int
    words: tuple[str, ...]
    passes: tuple[Pass, ...]
    gaps: tuple[Gap, ...]
    told: tuple[Told, ...]
    fields: Mapping[str, str]
    limit_c: str
    calibration: str
    asked: str

    @property
    def codes(self) -> tuple[str, ...]:
        """Codes in the order of tasting."""
        return tuple(one.code for one in self.stands)

    @property
    def held(self) -> bool:
        """Whether some pass waits for the first sip."""
        return any(one.held for one in self.passes)

    @property
    def lockable(self) -> bool:
        """Whether nothing required is missing."""
        return not any(one.required for one in self.gaps)


def look_at_table(
    place: SeatPlace, serving: PlannedServing | None, body: Mapping[str, Any]
) -> TableView | None:
    """Return a table as its seat sees it; None where nothing is scored, or nothing is left.

    ``body`` is the seat's draft as it is stored.
    """
    plan = place.layout.plan
    if plan.table is None or serving is None:
        return None
    spread, sheet = find_spread(place, serving), get_sheet(place.layout)
    answer, bowl = read_draft(body).answer, find_bowl_before(place.layout, serving.round)
    return TableView(
        title=sheet.title,
        sitting=serving.sitting,
        sittings=plan.sittings,
        shared=plan.table.shared,
        warm_up=spread is None,
        stands=list_stands(serving),
        own_words=sheet.own_words,
        words=spread.words if spread else (),
        passes=list_passes(place, spread, answer) if spread else (),
        gaps=_list_gaps(spread, answer) if spread else (),
        told=_tell(spread, answer) if spread else (),
        fields=_fill(spread, answer) if spread else {},
        limit_c=str(plan.table.sip_limit_c),
        calibration=bowl.what if bowl else "",
        asked=SCORED[plan.table.method].asked if plan.table.method in SCORED else "",
    )


def find_news(bench: Bench, token: str, serving_id: UUID, since: str) -> dict[str, Any]:
    """Return what a device at a table should hear.

    That is the moment, values changed since the last one it heard of, whether sips are held,
    and whether the table is still open.
    """
    place = get_place(bench, token)
    serving = get_serving(place, serving_id)
    spread, draft = get_spread(place, serving), read_draft(find_draft(bench, place) or {})
    is_open = place.current == serving and place.tasting.state in AT_THE_TABLE
    fields = _fill(spread, draft.answer) if is_open else {}
    fresh = {name for name, at in draft.said.items() if at > since} if since else set()
    return {
        "at": write_moment(bench.clock()),
        "open": is_open,
        "held": any(is_held(place, serving.sitting, time) for time in spread.sheet.passes),
        "fresh": {
            one: {name: text for name, text in fields.items() if f"{name}.".startswith(f"{one}.")}
            for one in sorted(fresh)
        },
    }


def _list_gaps(spread: Spread, answer: Answer) -> tuple[Gap, ...]:
    found = list_missing(spread.sheet, spread.stands, answer.values)
    return tuple(_make_gap(spread.sheet, one) for one in found)


def _make_gap(sheet: Sheet, missing: Missing) -> Gap:
    place = missing.place
    return Gap(
        place.field,
        place.code,
        place.bowl,
        _name(sheet, place.attribute),
        PASS_NAMES[place.time] if place.time else "",
        missing.required,
        missing.message,
    )


def _tell(spread: Spread, answer: Answer) -> tuple[Told, ...]:
    scales = {one.name: one.scale for one in spread.sheet.attributes}
    said = {one.place: one.value for one in answer.values}
    return tuple(
        Told(
            _name(spread.sheet, place.attribute),
            PASS_NAMES[place.time] if place.time else "",
            place.code,
            place.bowl,
            scales[place.attribute].describe(said[place]),
        )
        for place in list_places(spread.sheet, spread.stands)
        if place in said
    )


def _name(sheet: Sheet, name: str) -> str:
    found = sheet.find_attribute(name)
    return found.label if found else name


def _fill(spread: Spread, answer: Answer) -> dict[str, str]:
    scales = {one.name: one.scale for one in spread.sheet.attributes}
    return {
        one.place.name_part(part): text
        for one in answer.values
        for part, text in scales[one.attribute].fill(one.value).items()
    }
