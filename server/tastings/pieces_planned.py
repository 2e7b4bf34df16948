"""Which pieces of the part under test the samples of a draft are brewed with."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from uuid import UUID

from sqlmodel import Session

from server.blinding.bench_plans import BenchPlan, PlannedSpecimen
from server.blinding.plans import Plan
from server.brewing.brewed import PartState
from server.storage import queries, specimens, tables
from server.tastings.bench import Bench
from server.tastings.brews_needed import count_brews_needed
from server.tastings.locking import lock_draft
from server.tastings.specimens import KeptSpecimen, list_specimens, read_specimens


@dataclass(frozen=True)
class SamplePieces:
    """The pieces of one sample, and how many brews it is going to be made in.

    Attributes
    ----------
    level, label
        Of the sample.
    brews
        Brews the plan takes of it.
    pieces
        What it is brewed with; empty if it has no part under test.
    """

    level: str
    label: str
    brews: int
    pieces: tuple[KeptSpecimen, ...]

    @property
    def is_new(self) -> bool:
        """Whether the sample is to be the part as it is when new."""
        return any(one.state == PartState.NEW for one in self.pieces)

    @property
    def fresh(self) -> int:
        """How many of the pieces were never brewed with."""
        return sum(one.is_fresh for one in self.pieces)

    @property
    def lacking(self) -> int:
        """How many fresh pieces a test of something new lacks."""
        return max(0, self.brews - self.fresh) if self.is_new else 0

    @property
    def states(self) -> tuple[str, ...]:
        """The states of its pieces."""
        return tuple(dict.fromkeys(one.state for one in self.pieces))


@dataclass(frozen=True)
class PlannedPieces:
    """The pieces of a draft's samples, and all that can be chosen from."""

    tasting_id: UUID
    samples: tuple[SamplePieces, ...]
    offered: tuple[KeptSpecimen, ...]

    @property
    def shared(self) -> tuple[str, ...]:
        """Labels of pieces that more than one sample is brewed with."""
        labels = [one.label for sample in self.samples for one in sample.pieces]
        return tuple(dict.fromkeys(one for one in labels if labels.count(one) > 1))


def find_pieces(bench: Bench, account_id: UUID, tasting: tables.Tasting) -> PlannedPieces:
    """Return what the samples of a draft are brewed with, as the pieces are now."""
    plan, kept = Plan.model_validate(tasting.plan), list_specimens(bench, account_id)
    with bench.reading() as db:
        samples = queries.list_samples(db, tasting.id)
    needed = count_brews_needed(plan, samples)
    chosen = plan.bench.specimens if plan.bench else {}
    labels = {level: {one.label for one in pieces} for level, pieces in chosen.items()}
    of_samples = tuple(
        SamplePieces(
            one.level,
            one.label,
            needed[one.level],
            tuple(piece for piece in kept if piece.label in labels.get(one.level, ())),
        )
        for one in samples
    )
    in_use = {piece for sample in of_samples for piece in sample.pieces}
    offered = tuple(piece for piece in kept if not piece.retired or piece in in_use)
    return PlannedPieces(tasting.id, of_samples, offered)


def name_field(level: str, specimen_id: UUID) -> str:
    """Return the name of the box that chooses a piece for a sample."""
    return f"piece_{level}_{specimen_id}"


def choose_pieces(
    bench: Bench, account_id: UUID, tasting_id: UUID, form: Mapping[str, str]
) -> None:
    """Keep which pieces each sample of a draft is brewed with.

    Raises
    ------
    WrongState
        It is sealed already.
    """
    kept = list_specimens(bench, account_id)
    with bench.writing() as db:
        tasting = lock_draft(db, tasting_id)
        chosen = {
            sample.level: tuple(
                plan_piece(one) for one in kept if form.get(name_field(sample.level, one.id))
            )
            for sample in queries.list_samples(db, tasting_id)
        }
        plan = Plan.model_validate(tasting.plan)
        tasting.plan = _put_pieces(plan, chosen).model_dump(mode="json")
        db.add(tasting)
        db.commit()


def plan_piece(piece: KeptSpecimen) -> PlannedSpecimen:
    """Return a piece as it is sealed."""
    return PlannedSpecimen(label=piece.label, part=piece.part, state=piece.state, brews=piece.brews)


def renew_pieces(db: Session, tasting_id: UUID, plan: Plan) -> Plan:
    """Return a plan whose pieces have the state and the brews that they have by now."""
    if plan.bench is None or not any(plan.bench.specimens.values()):
        return plan
    account_id = specimens.find_leader(db, tasting_id)
    kept = read_specimens(db, account_id) if account_id else ()
    now = {one.label: plan_piece(one) for one in kept}
    renewed = {
        level: tuple(now.get(one.label, one) for one in pieces)
        for level, pieces in plan.bench.specimens.items()
    }
    return _put_pieces(plan, renewed)


def _put_pieces(plan: Plan, chosen: Mapping[str, Sequence[PlannedSpecimen]]) -> Plan:
    """Return a plan with these pieces; without a bench if there would be nothing on it."""
    wanted = {level: tuple(pieces) for level, pieces in chosen.items() if pieces}
    changed = (plan.bench or BenchPlan()).model_copy(update={"specimens": wanted})
    return plan.model_copy(update={"bench": None if changed == BenchPlan() else changed})
