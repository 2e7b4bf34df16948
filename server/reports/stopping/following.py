"""A sequential plan followed: which blocks are complete, and what the count says after each."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from server.blinding.plans import Plan
from server.blinding.record import Record
from server.blinding.sealed import Layout, PlannedServing
from server.methods.asked import find_model, find_size
from server.stats.sequential_plan import SequentialPlan

if TYPE_CHECKING:
    from server.reports.counting import Judgement
    from server.stats.sequential import SequentialPath


def make_sequential(plan: Plan) -> SequentialPlan:
    """Return the sequential plan as it was sealed, with its block and its end.

    Raises
    ------
    ValueError
        If the plan has none.
    """
    if plan.sequential is None:
        raise ValueError("plan must be sequential")
    block = plan.assessors * plan.sequential.every
    return SequentialPlan(
        chance=find_model(plan).chance,
        p_correct=find_size(plan).pc,
        alpha=float(plan.alpha),
        beta=float(plan.sequential.beta),
        block=block,
        cap=block * (plan.rounds // plan.sequential.every),
        at_cap=plan.sequential.at_end,
    )


def count_blocks(plan: Plan) -> int:
    """Return how many blocks are planned; 0 if the plan is not sequential."""
    return plan.rounds // plan.sequential.every if plan.sequential else 0


def count_complete(layout: Layout, record: Record) -> int:
    """Count the leading blocks of which nothing is outstanding.

    A block that was judged was complete then, whatever was erased or taken out since.
    A serving is outstanding while it has no answer that stands and was neither struck off
    nor given up; one that a spare serving stands in for, while that one is.
    """
    plan = layout.plan
    if plan.sequential is None:
        return 0
    spare = {seat.number for seat in layout.seats if seat.spare}
    planned = [one for one in layout.servings if one.seat not in spare]
    open_rounds = {one.round for one in planned if _is_outstanding(record, one)}
    before = min(open_rounds, default=plan.rounds + 1) - 1
    return max(before // plan.sequential.every, *record.blocks, 0)


def _is_outstanding(record: Record, serving: PlannedServing) -> bool:
    found = serving.id
    for _ in range(len(record.voids) + 1):
        if found in record.struck or record.standing(found) is not None:
            return False
        if record.settlements.get(found, 0) is None:
            return False
        if found in record.contests and record.closing is not None:
            return False  # unsealing voids what nobody settled
        if found not in record.voids:
            return True
        instead = record.voids[found].replacement
        if instead is None:
            return False
        found = instead
    return True


@dataclass(frozen=True)
class Followed:
    """What became of a sequential test.

    Attributes
    ----------
    path
        The way to its end; None if there are no answers.
    used
        Answers up to the end of the test.
    ended_in
        Number of the block that ended it; 0 if none did.
    """

    path: "SequentialPath | None"
    used: "tuple[Judgement, ...]"
    ended_in: int

    def contradicts(self, record: Record) -> bool:
        """Tell whether the answers that count now would not have said what was said then."""
        return any(stop != (self.ended_in == block) for block, stop in record.blocks.items())


def follow_blocks(plan: Plan, judgements: "Sequence[Judgement]", complete: int) -> Followed:
    """Follow the answers round by round, judged after each complete block.

    Only planned seats count, and spare servings in their place: a late guest would change
    rounds that were judged already.

    Parameters
    ----------
    plan : Plan
        A sequential one.
    judgements : sequence of Judgement
        Answers of the test.
    complete : int
        Leading blocks that are complete.

    Returns
    -------
    Followed
    """
    from server.stats.sequential import follow_path

    planned = [one for one in judgements if one.seat <= plan.assessors]
    ordered = sorted(planned, key=lambda one: (one.round, one.seat))
    if plan.sequential is None or not ordered:
        return Followed(None, (), 0)
    every = plan.sequential.every
    ends = [sum(one.round <= block * every for one in ordered) for block in range(1, complete + 1)]
    over = complete == count_blocks(plan)
    lines = replace(make_sequential(plan), block=1, cap=ends[-1] if over and ends[-1] else None)
    looks = sorted({end for end in ends if end})
    path = follow_path(lines, [one.correct for one in ordered], looks)
    ended_in = ends.index(path.decided_at) + 1 if path.decided_at in ends else 0
    return Followed(path, tuple(ordered[: path.trials]), ended_in)


def is_over(plan: Plan, judgements: "Sequence[Judgement]", complete: int) -> bool:
    """Tell whether a sequential test has ended; nothing more is told of it."""
    return follow_blocks(plan, judgements, complete).ended_in > 0
