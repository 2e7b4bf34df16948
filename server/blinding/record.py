"""The record of a tasting: its events folded into what is the case now."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any
from uuid import UUID

from server.blinding.events import Event, Kind, State
from server.blinding.table_record import (
    BowlStep,
    Calibration,
    Decision,
    Discussion,
    read_calibration,
    read_decision,
    read_discussion,
    read_step,
)


@dataclass(frozen=True)
class GivenAnswer:
    """An answer as it came in; ``revision`` counts the answers to one serving from 1."""

    serving: UUID
    revision: int
    answer: Mapping[str, Any]
    at: str
    source: str
    seq: int


@dataclass(frozen=True)
class Void:
    """A serving that does not count, and the spare serving poured in its place."""

    serving: UUID
    reason: str
    replacement: UUID | None


@dataclass(frozen=True)
class BrewNote:
    """Readings of the brew served for a slot; numbers are decimal strings.

    ``brew`` is what else was done and read, as plain JSON; nothing here looks into it. ``at``
    is when it was noted.
    """

    slot: str
    tds: tuple[str, ...]
    temperature_c: str | None
    time: str | None
    note: str
    fill_g: str | None = None
    brew: Mapping[str, Any] = field(default_factory=dict)
    at: str = ""
    seq: int = 0


@dataclass(frozen=True)
class Release:
    """A brew whose cups were let go: how it matched then, and why although it did not."""

    slot: str
    found: Mapping[str, str]
    reason: str
    at: str
    seq: int


@dataclass(frozen=True)
class Look:
    """An early look at the key or the results."""

    kind: Kind
    who: str
    reason: str
    before_closing: bool


@dataclass(frozen=True)
class Reveal:
    """Marks found under the cups of a sitting: serving to cup to brew slot, None: lost."""

    sitting: int
    marks: Mapping[UUID, Mapping[UUID, str | None]]
    photo: str | None
    at: str
    seq: int


@dataclass
class Record:
    """What is the case after the last event; built by `fold` alone."""

    state: State = State.SEALED
    version: int = 0
    head: str = ""
    seats_taken: set[int] = field(default_factory=set)
    poured: set[str] = field(default_factory=set)
    served: set[UUID] = field(default_factory=set)
    confirmed: set[UUID] = field(default_factory=set)
    calls: set[UUID] = field(default_factory=set)
    called: set[UUID] = field(default_factory=set)
    brews: dict[str, BrewNote] = field(default_factory=dict)
    releases: dict[str, Release] = field(default_factory=dict)
    answers: dict[UUID, GivenAnswer] = field(default_factory=dict)
    contests: dict[UUID, list[GivenAnswer]] = field(default_factory=dict)
    settlements: dict[UUID, int | None] = field(default_factory=dict)
    late: list[GivenAnswer] = field(default_factory=list)
    voids: dict[UUID, Void] = field(default_factory=dict)
    struck: dict[UUID, str] = field(default_factory=dict)
    checks: set[str] = field(default_factory=set)
    looks: list[Look] = field(default_factory=list)
    blocks: dict[int, bool] = field(default_factory=dict)
    closing: Mapping[str, Any] | None = None
    abandoning: Mapping[str, Any] | None = None
    seal_matches: bool | None = None
    erased: set[int] = field(default_factory=set)
    prepared: set[int] = field(default_factory=set)
    shuffled: dict[UUID, int | None] = field(default_factory=dict)
    reveals: dict[int, list[Reveal]] = field(default_factory=dict)
    words: dict[int, tuple[str, ...]] = field(default_factory=dict)
    calibrations: list[Calibration] = field(default_factory=list)
    bowl_steps: list[BowlStep] = field(default_factory=list)
    discussions: list[Discussion] = field(default_factory=list)
    decisions: list[Decision] = field(default_factory=list)

    @property
    def marks(self) -> dict[UUID, str | None]:
        """Cup to the brew slot that its mark names, None: lost; as last entered."""
        return {
            cup: slot
            for entered in self.reveals.values()
            for cups in entered[-1].marks.values()
            for cup, slot in cups.items()
        }

    @property
    def decision(self) -> Decision | None:
        """The decision that counts: the last one."""
        return self.decisions[-1] if self.decisions else None

    @property
    def key_looked(self) -> bool:
        """Tell whether somebody has looked at the key."""
        return any(look.kind == Kind.KEY_LOOKED for look in self.looks)

    @property
    def told_to_stop(self) -> bool:
        """Tell whether the plan has said stop, whatever the answers were."""
        return any(self.blocks.values())

    @property
    def open_contests(self) -> list[UUID]:
        """Servings with a second, different answer that nobody has settled yet."""
        return [serving for serving in self.contests if serving not in self.settlements]

    @property
    def replacements(self) -> dict[UUID, UUID]:
        """Voided serving to the spare serving that stands in for it."""
        return {v.serving: v.replacement for v in self.voids.values() if v.replacement}

    def standing(self, serving: UUID) -> GivenAnswer | None:
        """Return the answer that counts for a serving, if one does."""
        if serving in self.voids or serving in self.struck or serving not in self.answers:
            return None
        if serving not in self.contests:
            return self.answers[serving]
        revision = self.settlements.get(serving)
        given = [self.answers[serving], *self.contests[serving]]
        return next((one for one in given if one.revision == revision), None)


def fold(events: Iterable[Event], seal: str = "") -> Record:
    """Fold events into the record of the tasting.

    Parameters
    ----------
    events : iterable of Event
        In order of ``seq``.
    seal : str
        Hash of the seal: the head while nothing has happened.

    Returns
    -------
    Record
        What is the case after the last event. Events whose body was erased
        leave no trace but their number in ``erased``.
    """
    record = Record(head=seal)
    for event in events:
        record.version, record.head = event.seq, event.head
        if event.body is None:
            record.erased.add(event.seq)
        else:
            _APPLY[event.kind](record, event.body, event)
    return record


def _state(state: State, attribute: str | None = None) -> Any:
    def apply(record: Record, body: Mapping[str, Any], _: Event) -> None:
        record.state = state
        if attribute:
            setattr(record, attribute, body)

    return apply


def _unsealed(record: Record, body: Mapping[str, Any], _: Event) -> None:
    if record.state != State.ABANDONED:
        record.state = State.UNSEALED
    record.seal_matches = body["seal_matches"]


def _given(body: Mapping[str, Any], event: Event) -> GivenAnswer:
    return GivenAnswer(
        UUID(body["serving"]), body["revision"], body["answer"], body["at"], body["source"],
        event.seq,
    )  # fmt: skip


def _answered(record: Record, body: Mapping[str, Any], event: Event) -> None:
    record.answers[UUID(body["serving"])] = _given(body, event)


def _contested(record: Record, body: Mapping[str, Any], event: Event) -> None:
    record.contests.setdefault(UUID(body["serving"]), []).append(_given(body, event))


def _settled(record: Record, body: Mapping[str, Any], _: Event) -> None:
    record.settlements[UUID(body["serving"])] = body["revision"]


def _late(record: Record, body: Mapping[str, Any], event: Event) -> None:
    record.late.append(_given(body, event))


def _voided(record: Record, body: Mapping[str, Any], _: Event) -> None:
    serving, replacement = UUID(body["serving"]), body["replacement"]
    record.voids[serving] = Void(
        serving, body["reason"], UUID(replacement) if replacement else None
    )
    record.calls.discard(serving)


def _struck(record: Record, body: Mapping[str, Any], _: Event) -> None:
    record.struck[UUID(body["serving"])] = body["reason"]


def _checked(record: Record, body: Mapping[str, Any], _: Event) -> None:
    change = record.checks.add if body["done"] else record.checks.discard
    change(body["item"])


def _looked(record: Record, body: Mapping[str, Any], event: Event) -> None:
    record.looks.append(
        Look(
            event.kind,
            body.get("who", ""),
            body.get("reason", body.get("how", "")),
            record.state in (State.SEALED, State.SERVING),
        )
    )


def _block_judged(record: Record, body: Mapping[str, Any], _: Event) -> None:
    record.blocks[body["block"]] = body["stop"]


def _brewed(record: Record, body: Mapping[str, Any], event: Event) -> None:
    record.brews[body["slot"]] = BrewNote(
        body["slot"],
        tuple(body["tds"]),
        body["temperature_c"],
        body["time"],
        body["note"],
        body.get("fill_g"),
        body.get("brew", {}),
        body["at"],
        event.seq,
    )


def _released(record: Record, body: Mapping[str, Any], event: Event) -> None:
    record.releases[body["slot"]] = Release(
        body["slot"], body["found"], body["reason"], body["at"], event.seq
    )


def _ticked(record: Record, body: Mapping[str, Any], event: Event) -> None:
    if event.kind == Kind.POURED:
        change = record.poured.add if body["done"] else record.poured.discard
        change(body["slot"])
    else:
        change_serving = record.served.add if body["done"] else record.served.discard
        change_serving(UUID(body["serving"]))


def _confirmed(record: Record, body: Mapping[str, Any], _: Event) -> None:
    record.confirmed.add(UUID(body["serving"]))
    record.calls.discard(UUID(body["serving"]))


def _differ(record: Record, body: Mapping[str, Any], _: Event) -> None:
    record.calls.add(UUID(body["serving"]))
    record.called.add(UUID(body["serving"]))


def _call_settled(record: Record, body: Mapping[str, Any], _: Event) -> None:
    record.calls.discard(UUID(body["serving"]))


def _seat_taken(record: Record, body: Mapping[str, Any], _: Event) -> None:
    record.seats_taken.add(body["seat"])


def _prepared(record: Record, body: Mapping[str, Any], _: Event) -> None:
    record.prepared.add(body["sitting"])


def _shuffled(record: Record, body: Mapping[str, Any], _: Event) -> None:
    record.shuffled[UUID(body["serving"])] = body["seconds"]


def _revealed(record: Record, body: Mapping[str, Any], event: Event) -> None:
    marks = {
        UUID(serving): {UUID(cup): slot for cup, slot in cups.items()}
        for serving, cups in body["marks"].items()
    }
    found = Reveal(body["sitting"], marks, body["photo"], body["at"], event.seq)
    record.reveals.setdefault(found.sitting, []).append(found)


def _worded(record: Record, body: Mapping[str, Any], _: Event) -> None:
    record.words.setdefault(body["seat"], tuple(body["words"]))


def _calibrated(record: Record, body: Mapping[str, Any], event: Event) -> None:
    record.calibrations.append(read_calibration(body, event.seq))


def _stepped(record: Record, body: Mapping[str, Any], event: Event) -> None:
    record.bowl_steps.append(read_step(body, event.seq))


def _discussed(record: Record, body: Mapping[str, Any], event: Event) -> None:
    record.discussions.append(read_discussion(body, event.seq))


def _decided(record: Record, body: Mapping[str, Any], event: Event) -> None:
    record.decisions.append(read_decision(body, event.seq))


def _erased(record: Record, body: Mapping[str, Any], _: Event) -> None:
    record.erased.add(body["seq"])


_APPLY = {
    Kind.STRUCK: _struck,
    Kind.CHECKED: _checked,
    Kind.SERVING_BEGAN: _state(State.SERVING),
    Kind.SEAT_TAKEN: _seat_taken,
    Kind.POURED: _ticked,
    Kind.SERVED: _ticked,
    Kind.PREPARED: _prepared,
    Kind.SHUFFLED: _shuffled,
    Kind.REVEALED: _revealed,
    Kind.WORDS_CHOSEN: _worded,
    Kind.CALIBRATED: _calibrated,
    Kind.BOWL_STEP: _stepped,
    Kind.DISCUSSED: _discussed,
    Kind.DECIDED: _decided,
    Kind.CODES_CONFIRMED: _confirmed,
    Kind.CODES_DIFFER: _differ,
    Kind.CALL_SETTLED: _call_settled,
    Kind.BREWED: _brewed,
    Kind.RELEASED: _released,
    Kind.ANSWERED: _answered,
    Kind.CONTESTED: _contested,
    Kind.CONTEST_SETTLED: _settled,
    Kind.LATE: _late,
    Kind.VOIDED: _voided,
    Kind.BLOCK_JUDGED: _block_judged,
    Kind.KEY_LOOKED: _looked,
    Kind.RESULTS_LOOKED: _looked,
    Kind.CLOSED: _state(State.CLOSED, "closing"),
    Kind.UNSEALED: _unsealed,
    Kind.ABANDONED: _state(State.ABANDONED, "abandoning"),
    Kind.ERASED: _erased,
}
