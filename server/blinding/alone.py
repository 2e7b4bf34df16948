"""Alone: whoever tastes also pours, so the tool says how many cups of what, never which."""

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from itertools import islice
from random import Random
from uuid import UUID

from server.blinding.allocation import RoundPots, allocate_slots, plan_pots
from server.blinding.codes import draw_codes
from server.blinding.ids import draw_id
from server.blinding.layouts import (
    RoundBrews,
    check_counts,
    check_samples,
    draw_cups,
    join_key,
    list_names,
    list_seats,
    name_slots,
)
from server.blinding.plans import Plan, Pots, Purpose
from server.blinding.sealed import (
    Layout,
    PlannedComparison,
    PlannedSample,
    PlannedServing,
    PlannedSlot,
    SealedTasting,
)


@dataclass(frozen=True)
class _Sitting:
    """What the pots of one sitting are planned from; see `allocation.TableSize`."""

    assessors: int
    cup_ml: Decimal
    pot_ml: Decimal
    pots: Pots
    spare_seats: int = 0


def list_types(orders: Sequence[str]) -> tuple[str, ...]:
    """List what may be poured for one serving, whatever its order on the table.

    Examples
    --------
    >>> list_types(("AAB", "ABA", "BAA", "BBA", "BAB", "ABB"))
    ('AAB', 'ABB')
    >>> list_types(("AB", "BA"))
    ('AB',)
    """
    return tuple(sorted({"".join(sorted(order)) for order in orders}))


def plan_sitting_pots(
    rounds: int, cup_ml: Decimal, pot_ml: Decimal, pots: Pots, orders: Sequence[str]
) -> RoundPots:
    """Return the brew slots of a sample for a whole sitting; errors as `plan_pots`.

    One person cannot brew anew for every serving: a sitting's brews serve all its rounds.

    Examples
    --------
    >>> triangle = ("AAB", "ABA", "BAA", "BBA", "BAB", "ABB")
    >>> plan_sitting_pots(3, Decimal(40), Decimal(500), Pots.SEPARATE, triangle)
    RoundPots(slots=2, brews=1, cups=12)
    """
    return plan_pots(_Sitting(rounds, cup_ml, pot_ml, pots), list_types(orders))


def draw_alone(
    plan: Plan,
    tasting: UUID,
    samples: Sequence[PlannedSample],
    orders: Sequence[str],
    rng: Random,
) -> SealedTasting:
    """Draw a tasting whose taster also pours: codes, and how many cups of what.

    Parameters
    ----------
    plan : Plan
        With ``Pourer.ALONE``: one seat, none in reserve, no controls.
    tasting : UUID
        Its id.
    samples : sequence of PlannedSample
        One for each level that the orders name.
    orders : sequence of str
        The full set of serving orders of the method.
    rng : random.Random
        Source of chance.

    Returns
    -------
    SealedTasting
        Without a key. Of the types of serving (two of A and one of B, or the other way
        round) every sitting holds equally many, or one more of one of them, and so do
        all sittings up to any.

    Raises
    ------
    ValueError
        If the plan is not one for a single person, or its pots do not fill the cups.

    Examples
    --------
    >>> from server.blinding.plans import Pourer
    >>> plan = Plan(
    ...     question="?", difference="water", method="triangle", standard="ISO 4120:2021",
    ...     alpha="0.05", size_d_prime=None, size_share="0.5", assessors=1, rounds=3,
    ...     sittings=2, spare_seats=0, pourer=Pourer.ALONE, swallow=True, cup_ml="40",
    ...     pot_ml="500", pots=Pots.BLEND, tds_limit="0.05", temperature_limit="2",
    ... )
    >>> samples = [PlannedSample(level=level, label=level) for level in "AB"]
    >>> sealed = draw_alone(plan, UUID(int=0), samples, ("AAB", "ABA", "ABB"), Random(1))
    >>> sealed.key, [serving.pours for serving in sealed.servings][:2]
    ({}, [('A1', 'B1', 'B1'), ('A1', 'A1', 'B1')])
    """
    _check(plan, samples, orders)
    pots = plan_sitting_pots(plan.rounds, plan.cup_ml, plan.pot_ml, plan.pots, orders)
    slots = name_slots(_list_brews(plan, pots, [sample.level for sample in samples]))
    types = _draw_types(plan, list_types(orders), rng)
    layout = Layout(
        tasting=tasting,
        plan=plan,
        samples=tuple(samples),
        comparisons=(PlannedComparison(name="test", samples=("A", "B"), purpose=Purpose.TEST),),
        slots=slots,
        seats=list_seats(plan),
        servings=tuple(_draw_servings(plan, slots, pots, types, rng)),
    )
    return join_key(layout, rng.randbytes(32).hex(), {})


def _check(plan: Plan, samples: Sequence[PlannedSample], orders: Sequence[str]) -> None:
    check_counts(plan, rounds=1, sittings=1)
    if (plan.assessors, plan.spare_seats) != (1, 0):
        raise ValueError(f"assessors must be 1 and spare_seats 0, got {plan.assessors}")
    if plan.controls:
        raise ValueError(f"controls must not be planned alone, got {plan.controls}")
    check_samples([sample.level for sample in samples], "".join(orders))


def _draw_types(plan: Plan, types: Sequence[str], rng: Random) -> list[list[str]]:
    """Draw the types of each sitting; one that falls short in one leads the next."""
    used: Counter[str] = Counter()
    drawn = []
    for _ in range(plan.sittings):
        whole, rest = divmod(plan.rounds, len(types))
        least = sorted(rng.sample(types, len(types)), key=lambda one: used[one])
        mine = [*types] * whole + least[:rest]
        used.update(mine)
        drawn.append(rng.sample(mine, len(mine)))
    return drawn


def _list_brews(plan: Plan, pots: RoundPots, levels: Sequence[str]) -> Iterable[RoundBrews]:
    """List what every sitting needs; it is brewed for the first of its rounds."""
    brewed = [(level, pots) for level in levels]
    return ((sitting * plan.rounds + 1, brewed) for sitting in range(plan.sittings))


def _draw_servings(
    plan: Plan,
    slots: Sequence[PlannedSlot],
    pots: RoundPots,
    types: Sequence[Sequence[str]],
    rng: Random,
) -> Iterable[PlannedServing]:
    cups = len(types[0][0])
    codes = iter(draw_codes([cups * plan.rounds * plan.sittings], rng)[0])
    share = plan.pots != Pots.SEPARATE
    for sitting, mine in enumerate(types, 1):
        first = (sitting - 1) * plan.rounds + 1
        names = list_names(slots, first)
        filled = allocate_slots(mine, names, pots.cups, rng, share=share)
        for round_, pours in enumerate(filled, first):
            yield PlannedServing(
                id=draw_id(rng),
                seat=1,
                sitting=sitting,
                round=round_,
                comparison="test",
                cups=draw_cups(islice(codes, cups), rng),
                pours=tuple(sorted(pours)),
            )


def find_pour_problems(sealed: SealedTasting) -> list[str]:
    """List where the pours of a tasting alone contradict its layout."""
    rounds = {slot.name: slot.round for slot in sealed.slots}
    first = {one.sitting: min(_list_rounds(sealed, one.sitting)) for one in sealed.servings}
    found = ["A key is sealed, though the truth lies under the cups."] if sealed.key else []
    for serving in sealed.servings:
        if len(serving.pours) != len(serving.cups):
            found.append(f"Serving {serving.id} does not say what to pour into every cup.")
        if list(serving.pours) != sorted(serving.pours):
            found.append(f"The pours of serving {serving.id} are not sorted.")
        for slot in serving.pours:
            if slot not in rounds:
                found.append(f"Serving {serving.id} names brew slot {slot}, which is not there.")
            elif rounds[slot] != first[serving.sitting]:
                found.append(f"Brew slot {slot} is not of the sitting of serving {serving.id}.")
    return found


def _list_rounds(layout: Layout, sitting: int) -> list[int]:
    return [serving.round for serving in layout.servings if serving.sitting == sitting]
