"""Which piece made a brew: what can be chosen, and what was."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from uuid import UUID

from server.blinding.bench_plans import PlannedSpecimen
from server.blinding.plans import Plan
from server.brewing.brewed import PartState, PartUsed
from server.storage import specimens
from server.tastings.bench import Bench
from server.tastings.refusals import Invalid
from server.tastings.specimens import read_specimens

FIELD = "specimen"
NOT_THERE = "Choose one of the pieces that this sample is brewed with."


@dataclass(frozen=True)
class PartChoice:
    """A piece that can have made a brew; ``brews`` are those it had made before."""

    label: str
    part: str
    state: str
    brews: int
    specimen_id: UUID | None = None


def list_parts(
    bench: Bench, account_id: UUID, without: UUID | None = None
) -> tuple[PartChoice, ...]:
    """List the pieces in use, for a brew on the bench; ``without`` counting that brew itself."""
    with bench.reading() as db:
        kept = read_specimens(db, account_id, without)
    return tuple(
        PartChoice(one.label, one.part, one.state, one.brews, one.id)
        for one in kept
        if not one.retired
    )


def list_slot_parts(
    bench: Bench, tasting_id: UUID, plan: Plan, level: str, slot: str = ""
) -> tuple[PartChoice, ...]:
    """List the pieces sealed for a sample, and no other; ``slot`` is not counted itself.

    A piece that the leader's account does not keep, as after an import, is told by its seal.
    """
    sealed = plan.bench.specimens.get(level, ()) if plan.bench else ()
    if not sealed:
        return ()
    with bench.reading() as db:
        account_id = specimens.find_leader(db, tasting_id)
        kept = read_specimens(db, account_id, (tasting_id, slot)) if account_id else ()
    now = {one.label: one for one in kept}
    return tuple(
        PartChoice(
            one.label, one.part, now[one.label].state, now[one.label].brews, now[one.label].id
        )
        if one.label in now
        else _tell_sealed(one)
        for one in sealed
    )


def read_part(
    form: Mapping[str, str], choices: Sequence[PartChoice], earlier: PartUsed | None = None
) -> PartUsed | None:
    """Return the piece that a form names; None if it names none.

    Where an ``earlier`` note of the same brew names the same piece, its state and its brews
    were those of then, and stay.

    Raises
    ------
    Invalid
        It names a piece that cannot be chosen; field ``specimen``.
    """
    label = form.get(FIELD, "").strip()
    if not label:
        return None
    if earlier is not None and earlier.specimen == label:
        return earlier
    found = next((one for one in choices if one.label == label), None)
    if found is None:
        raise Invalid(**{FIELD: NOT_THERE})
    return PartUsed(
        specimen=found.label,
        part=found.part,
        state=PartState(found.state) if found.state else "",
        brews_before=found.brews,
    )


def _tell_sealed(piece: PlannedSpecimen) -> PartChoice:
    return PartChoice(piece.label, piece.part, piece.state, piece.brews)
