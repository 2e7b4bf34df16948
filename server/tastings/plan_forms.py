"""A leader's plan as it is sealed, and as its form shows it."""

from collections.abc import Mapping
from decimal import Decimal

from server.blinding.plans import Direction, Plan, PositiveControl, Sequential, Similarity
from server.methods.asked import find_control_size, find_model, find_size
from server.methods.registry import get_method
from server.stats.thurstone import pc_from_share
from server.tastings.applying import EACH, USUAL
from server.tastings.grouping import read_groups, write_groups
from server.tastings.planning import USUAL_LIMITS, PlanInput

DIGITS_OF_SIZE = Decimal("0.000001")


def seal_ready(given: PlanInput) -> Plan:
    """Turn a leader's input into the plan that will be sealed.

    The size that matters is sealed as d′ wherever answers under this plan have one.
    """
    kept = given.model_dump(
        include=set(Plan.model_fields) - {"positive_control", "attribute", "groups"}
    )
    plan = Plan(
        **kept,
        standard=get_method(given.method).standard,
        size_d_prime=None,
        size_share=given.size_percent / 100,
        direction=_read_direction(given),
        attribute="" if given.more else given.attribute,
        positive_control=_read_positive(given),
        similarity=_read_similarity(given),
        sequential=_read_sequential(given),
        groups=read_groups(given.groups, given.assessors),
    )
    model = find_model(plan)
    if model.without_d_prime:
        return plan
    d_prime = model.d_prime(pc_from_share(float(given.size_percent) / 100, model.chance))
    return plan.model_copy(update={"size_share": None, "size_d_prime": _keep(d_prime)})


def _read_direction(given: PlanInput) -> Direction | None:
    if not given.more:
        return None
    return Direction(attribute=given.attribute, more=given.more)


def _read_similarity(given: PlanInput) -> Similarity | None:
    if given.shows != "few":
        return None
    return Similarity(limit=given.size_percent / 100, beta=given.beta)


def _read_sequential(given: PlanInput) -> Sequential | None:
    if given.stop_rule != "sequential":
        return None
    return Sequential(beta=given.beta, every=given.every, at_end=given.at_end)


def _read_positive(given: PlanInput) -> PositiveControl | None:
    if not given.positive_control:
        return None
    label, share = given.positive_label, given.positive_percent / 100
    more = {"rounds": given.positive_rounds, "dilution_percent": given.positive_dilution}
    model = get_method(given.method).model
    if model.without_d_prime:
        return PositiveControl(label=label, size_d_prime=None, size_share=share, **more)
    d_prime = model.d_prime(pc_from_share(float(share), model.chance))
    return PositiveControl(label=label, size_d_prime=_keep(d_prime), **more)


def _keep(d_prime: float | None) -> Decimal:
    assert d_prime is not None  # only certainty has no d′, and a plan asks for less
    return Decimal(d_prime).quantize(DIGITS_OF_SIZE)


def size_percent(plan: Plan) -> Decimal:
    """Return the size that matters as the share of judgements that notice, in percent."""
    return _round_percent(find_size(plan).share)


def _round_percent(share: float) -> Decimal:
    rounded = Decimal(100 * share).quantize(Decimal("0.01")).normalize()
    return rounded.quantize(Decimal(1)) if rounded == rounded.to_integral_value() else rounded


def plan_form(plan: Plan, labels: Mapping[str, str]) -> dict[str, str]:
    """Return a stored plan as the form shows it: field name to typed text."""
    values = {
        name: str(getattr(plan, name)) for name in PlanInput.model_fields if hasattr(plan, name)
    }
    positive, direction = plan.positive_control, plan.direction
    declared = find_control_size(plan)
    values |= {
        "swallow": _tick(plan.swallow),
        "smell_only": _tick(plan.smell_only),
        "null_control": _tick(plan.null_control),
        "told_shares": _tick(plan.told_shares),
        "open_cups": plan.open_cups or "A",
        "positive_control": _tick(positive is not None),
        "dilution_percent": _type(plan.dilution_percent),
        "extraction_limit": _type(plan.extraction_limit),
        "age_limit": _type(plan.age_limit),
        "sample_a": labels["A"],
        "sample_b": labels["B"],
        "size_percent": str(size_percent(plan)),
        "attribute": plan.asked_for,
        "groups": write_groups(plan.groups),
        "more": direction.more if direction else "",
        "sittings": str(plan.sittings) if plan.alone else "",
    }
    values["pot_ml"] = str(plan.pot_ml + plan.loss_ml)
    if plan.single_cups:
        values |= {"pots": EACH, "pot_ml": str(PlanInput.model_fields["pot_ml"].default)}
    if plan.sequential is not None:
        values |= {
            "every": str(plan.sequential.every),
            "beta": str(plan.sequential.beta),
            "at_end": plan.sequential.at_end,
        }
    if plan.similarity is not None:
        values |= {"shows": "few", "beta": str(plan.similarity.beta)}
        values["size_percent"] = str(_round_percent(float(plan.similarity.limit)))
    if positive is not None and declared is not None:
        percent = _round_percent(declared.share)
        values |= {"positive_label": positive.label, "positive_percent": str(percent)}
        values |= {"positive_rounds": str(positive.rounds)}
        values |= {"positive_dilution": _type(positive.dilution_percent)}
    return values


def _tick(ticked: bool) -> str:
    return "on" if ticked else ""


def _type(number: Decimal | None) -> str:
    return "" if number is None else str(number)


def empty_form() -> dict[str, str]:
    """Return the form of a new plan: the defaults, and nothing in the six answers."""
    fields = PlanInput.model_fields.items()
    given = {
        name: "" if field.is_required() else str(field.default)
        for name, field in fields
        if field.annotation is not bool
    }
    return given | USUAL_LIMITS | {
        "swallow": "on", "assessors": "6", "size_percent": "50", "sittings": "", "pots": USUAL,
        "days": "2", "open_cups": "A", "loss_ml": "30",
        "dilution_percent": "", "positive_dilution": "",
    }  # fmt: skip
