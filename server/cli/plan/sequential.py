"""``oddcup plan sequential``: when a test may stop, and what such a plan can do."""

from collections.abc import Iterator
from dataclasses import asdict
from typing import TYPE_CHECKING, Any

import click

from server.cli.analyse.sequential_words import COLUMNS, tell_count, tell_plan, tell_risks
from server.cli.counted import CountedName
from server.cli.plan.options import json_option
from server.cli.sequential_plans import (
    evaluate_ends,
    list_plan,
    make_plan,
    sequential_options,
)
from server.cli.telling import to_json
from server.methods.base import Counted

if TYPE_CHECKING:
    from server.stats.operating import CapPlan
    from server.stats.sequential_plan import SequentialPlan

MOST_LOOKS = 60
FIRST_STOPS = f"Listed are the first {MOST_LOOKS} rounds; the lines go on."
UNDECIDED = "For the smallest cap an end without a decision counts as a wrong one."
MIDWAY = "Midway: a share of half the planned size; the plan takes longest around there."


@click.command("sequential", short_help="When a test may stop, and how long it takes.")
@click.argument("method", type=CountedName())
@sequential_options
@json_option
def sequential(method: Counted, as_json: bool, **typed: Any) -> None:
    """Plan a test of METHOD that stops as soon as the answers allow.

    After every complete round of --block answers (1 if not given) it ends with
    a difference, with no difference of the planned size, or goes on. Says at
    which counts, with which exact risks, after how many answers, and the
    smallest cap that keeps both risks. Takes one-sided methods only.
    """
    block = 1 if typed["block"] is None else typed["block"]
    try:
        members = _plan(method, typed, block)
    except ValueError as error:
        raise click.UsageError(str(error)) from error
    click.echo(to_json(members) if as_json else "\n".join(_tell(members)))


def _plan(method: Counted, typed: dict[str, Any], block: int) -> dict[str, Any]:
    from server.stats.sequential import NO_OTHER_LIMITS, PLANNED_AHEAD  # loads when asked for
    from server.stats.thurstone import pc_from_share

    size, plan = make_plan(method, typed, block)
    midway = pc_from_share(size.share / 2, plan.chance)
    exact, notes = evaluate_ends(plan, [midway])
    guessing, planned, halfway = [asdict(one) for one in exact] or (None, None, None)
    smallest = _find_cap(plan) if exact else None
    return {
        **list_plan(method, size, plan),
        "smallest_cap": smallest.cap if smallest else None,
        "smallest_cap_stable": smallest.cap_stable if smallest else None,
        "at_guessing": guessing,
        "at_planned": planned,
        "at_midway": halfway,
        "stops": _list_stops(plan),
        "notes": [*size.notes, *notes, *_explain(plan, smallest), PLANNED_AHEAD, NO_OTHER_LIMITS],
    }


def _explain(plan: "SequentialPlan", smallest: "CapPlan | None") -> Iterator[str]:
    if smallest is not None:
        yield from smallest.notes
        if smallest.cap is not None and plan.at_cap == "no decision":
            yield UNDECIDED
        yield MIDWAY
    if plan.cap is None or plan.cap > MOST_LOOKS * plan.block:
        yield FIRST_STOPS


def _find_cap(plan: "SequentialPlan") -> "CapPlan | None":
    from server.stats.operating import TooLong, find_smallest_cap

    try:
        return find_smallest_cap(plan)
    except TooLong:  # only a plan that has a cap already
        return None


def _list_stops(plan: "SequentialPlan") -> list[dict[str, int | None]]:
    from server.stats.sequential_plan import stop_limits

    looks = MOST_LOOKS if plan.cap is None else min(MOST_LOOKS, plan.cap // plan.block)
    ends = [look * plan.block for look in range(1, looks + 1)]
    return [{"trials": end, **stop_limits(plan, end)._asdict()} for end in ends]


def _tell(members: dict[str, Any]) -> Iterator[str]:
    yield from tell_plan(members)
    yield COLUMNS.format("answers", "", "ends below", "ends above")
    for stop in members["stops"]:
        if stop["low"] is not None or stop["high"] is not None:
            limits = tell_count(stop["low"]), tell_count(stop["high"])
            yield COLUMNS.format(stop["trials"], "", *limits)
    yield from tell_risks(members)
    if members["at_midway"] is not None:
        midway = members["at_midway"]
        yield (
            f"Midway {midway['expected_trials']:.1f} answers on average; nine tests of ten end "
            f"by {midway['nine_tenths']}"
        )
    if members["smallest_cap"] is not None:
        yield f"Smallest cap that keeps both risks: {members['smallest_cap']} answers"
    if members["smallest_cap_stable"] is not None:
        yield f"Any cap from {members['smallest_cap_stable']} answers on keeps them."
    yield from members["notes"]
