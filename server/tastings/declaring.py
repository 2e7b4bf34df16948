"""What a plan may declare beforehand; what cannot be is refused, with the field to change."""

from typing import TYPE_CHECKING

from server.methods.base import PICK_ONE
from server.methods.registry import get_method
from server.methods.traits import answers_yes_or_no, is_two_sided
from server.tastings.grouping import read_groups
from server.tastings.refusals import Invalid

if TYPE_CHECKING:
    from server.tastings.planning import PlanNumbers

ONE_ROUND = (
    "To show that few notice, everybody answers once: plan one round, and more people. "
    "Several answers of one person carry no such claim."
)
COUNTED = "Only where an answer is right or wrong, by a forced choice, can this be planned."
NOT_BOTH = "A similarity test needs all of its answers: let it end when all are given."
NOT_ALONE = "Alone the truth lies under the cups: nobody could say when to stop."
NO_CONTROLS = "A plan that may stop early has no controls: it could end before they come."
OTHERS = "One person tells nothing about others: how people differ needs several of them."
ONE_EACH = "Everybody answers once: there is nothing to declare of several answers."
NOT_STOPPING = "Where the answers decide when to stop, all of them together decide."
NO_POTS = (
    "Where every cup is a brew of its own there are no two pots to tell apart: leave the null "
    "control out."
)
NOT_SMELT = (
    "Where nobody drinks, one cup is picked among coded ones: take a triangle, 2-AFC or 3-AFC test "
    "or a paired comparison."
)
NO_GROUPS = "Alone there is one seat: there are no groups of seats."
NOT_GROUPED = "Where the answers decide when to stop, no group of them has a test of its own."
UNEVEN = "The {rounds} planned rounds must be a multiple of the rounds of a block."
TOO_MUCH = "α and β must together be below 1."
A_PANEL = "To show that few notice takes a panel: one person tells nothing about others."


def refuse_what_cannot_be(numbers: "PlanNumbers") -> None:
    """Refuse a test that could carry no claim, a stop nobody can call, a control of nothing.

    Raises
    ------
    Invalid
        With the field that has to change.
    """
    _refuse_null(numbers)
    _refuse_smelling(numbers)
    if numbers.stop_rule == "sequential":
        _refuse_stopping(numbers)
    if numbers.several:
        _refuse_several(numbers)
    if numbers.groups:
        _refuse_groups(numbers)
    if numbers.shows != "few":
        return
    if not is_right_or_wrong(numbers):
        raise Invalid(shows=COUNTED)
    if numbers.alone or numbers.assessors == 1:
        raise Invalid(shows=A_PANEL)
    if numbers.rounds > 1:
        raise Invalid(rounds=ONE_ROUND)


def _refuse_smelling(numbers: "PlanNumbers") -> None:
    """Refuse smelling only where a method's own instruction says how to taste its cups."""
    method = get_method(numbers.method)
    if numbers.smell_only and (method.form != PICK_ONE or method.reference):
        raise Invalid(smell_only=NOT_SMELT)


def _refuse_null(numbers: "PlanNumbers") -> None:
    if numbers.single_cups and numbers.null_control:
        raise Invalid(null_control=NO_POTS)


def _refuse_stopping(numbers: "PlanNumbers") -> None:
    if numbers.shows == "few":
        raise Invalid(stop_rule=NOT_BOTH)
    if not is_right_or_wrong(numbers):
        raise Invalid(stop_rule=COUNTED)
    if numbers.alone:
        raise Invalid(stop_rule=NOT_ALONE)
    if numbers.null_control or numbers.positive_control:
        raise Invalid(stop_rule=NO_CONTROLS)
    if numbers.rounds % numbers.every:
        raise Invalid(every=UNEVEN.format(rounds=numbers.rounds))
    if numbers.alpha + numbers.beta >= 1:
        raise Invalid(beta=TOO_MUCH)


def _refuse_several(numbers: "PlanNumbers") -> None:
    if not is_right_or_wrong(numbers):
        raise Invalid(several=COUNTED)
    if numbers.alone or numbers.assessors == 1:
        raise Invalid(several=OTHERS)
    if numbers.rounds == 1:
        raise Invalid(several=ONE_EACH)
    if numbers.stop_rule == "sequential":
        raise Invalid(several=NOT_STOPPING)


def _refuse_groups(numbers: "PlanNumbers") -> None:
    if not is_right_or_wrong(numbers):
        raise Invalid(groups=COUNTED)
    if numbers.alone:
        raise Invalid(groups=NO_GROUPS)
    if numbers.stop_rule == "sequential":
        raise Invalid(groups=NOT_GROUPED)
    read_groups(numbers.groups, numbers.assessors)


def is_right_or_wrong(numbers: "PlanNumbers") -> bool:
    """Tell whether an answer is right or wrong at a fixed chance."""
    method = get_method(numbers.method)
    return not is_two_sided(method) and not answers_yes_or_no(method)
