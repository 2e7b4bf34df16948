"""What a plan makes of its method: how d′ follows from answers, and the size that matters."""

from dataclasses import dataclass
from decimal import Decimal

from server.blinding.plans import Plan
from server.methods.ascending import ASCENDING, ASCENDING_NAMED
from server.methods.base import Method
from server.methods.paired_preference import PAIRED_PREFERENCE, PREFERENCE_OR_NEITHER
from server.methods.registry import get_method
from server.methods.served import swap_samples
from server.stats.forced_choice import THREE_AFC, TRIANGLE_ODD_KNOWN
from server.stats.thurstone import ForcedChoice, pc_from_share, share_from_pc


@dataclass(frozen=True)
class Size:
    """The size that matters, in three coins; ``d_prime`` is None where there is none."""

    pc: float
    share: float
    d_prime: float | None


def find_method(plan: Plan) -> Method:
    """Return the method of a plan, with the answers that this plan takes.

    Examples
    --------
    >>> from types import SimpleNamespace
    >>> plan = SimpleNamespace(method="paired-preference", no_preference="left_out")
    >>> find_method(plan).instruction.endswith("If you like neither better, say so.")
    True
    """
    if plan.method == PAIRED_PREFERENCE.name and plan.no_preference != "forced":
        return PREFERENCE_OR_NEITHER
    if plan.method == ASCENDING.name and plan.attribute:
        return ASCENDING_NAMED
    return get_method(plan.method)


def find_model(plan: Plan) -> ForcedChoice:
    """Return how answers under this plan are to be read.

    Whoever pours a triad knows which sample is the odd one: chance stays 1/3, but the
    model of the triangle test, in which the odd sample is unknown, no longer holds. If
    it was also known beforehand what the difference is and which sample has more of it,
    the odd cup is the one with the most, or with the least, of it: a 3-AFC test.

    Examples
    --------
    >>> from server.blinding.plans import Direction, Plan, Pourer, Pots
    >>> plan = Plan(
    ...     question="?", difference="water", method="triangle", standard="ISO 4120:2021",
    ...     alpha="0.05", size_d_prime=None, size_share="0.5", assessors=1, rounds=3,
    ...     spare_seats=0, pourer=Pourer.ALONE, swallow=True, cup_ml="40",
    ...     pot_ml="500", pots=Pots.BLEND, tds_limit="0.05", temperature_limit="2",
    ... )
    >>> find_model(plan).name
    'triangle-odd-known'
    >>> more = Direction(attribute="bitter", more="B")
    >>> find_model(plan.model_copy(update={"direction": more})).name
    '3-afc'
    """
    model = get_method(plan.method).model
    if not plan.alone or plan.method != "triangle":
        return model
    return THREE_AFC if plan.direction else TRIANGLE_ODD_KNOWN


def find_orders(plan: Plan) -> tuple[str, ...]:
    """Return the full set of serving orders of a plan.

    A method may serve one cup of the sample with more of what is asked for among cups of
    the other: then its orders follow from which sample that is.

    Examples
    --------
    >>> from types import SimpleNamespace
    >>> more = SimpleNamespace(attribute="bitter", more="A")
    >>> find_orders(SimpleNamespace(method="3-afc", direction=more))
    ('BBA', 'BAB', 'ABB')
    """
    orders = get_method(plan.method).orders
    swapped = swap_samples(orders)
    if plan.direction is None or plan.direction.more == "B" or set(swapped) == set(orders):
        return orders
    return swapped


def find_size(plan: Plan) -> Size:
    """Return the size that matters, as the plan gives it and as it follows."""
    return _follow(find_model(plan), plan.size_d_prime, plan.size_share)


def find_control_size(plan: Plan) -> Size | None:
    """Return the declared size of the positive control; None if there is none."""
    control = plan.positive_control
    if control is None:
        return None
    return _follow(find_model(plan), control.size_d_prime, control.size_share)


def _follow(model: ForcedChoice, given: Decimal | None, noticed: Decimal | None) -> Size:
    if given is None:
        share = float(noticed or 0)
        return Size(pc_from_share(share, model.chance), share, None)
    d_prime = float(given)
    pc = float(model.pc(d_prime))
    return Size(pc, share_from_pc(pc, model.chance), d_prime)
