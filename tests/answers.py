"""Every answer there can be to a serving, whatever the ballot of its method asks for."""

from collections.abc import Sequence
from itertools import combinations
from random import Random

from server.blinding.sealed import PlannedServing, SealedTasting
from server.methods.base import Method
from server.methods.registry import get_method
from server.methods.served import SWAPPED
from server.methods.tetrad import sort_cups
from server.methods.traits import answers_yes_or_no

Form = dict[str, str]


def list_answers(method: Method, codes: Sequence[str]) -> list[Form]:
    """List the forms, without notes, by which one serving can be answered."""
    if answers_yes_or_no(method):
        return [{"said": "yes"}, {"said": "no"}]
    if method.form == "two_pairs":
        return [{"pairs": " / ".join(map(" ".join, pairs))} for pairs in sort_cups(codes)]
    if method.form == "two_alike":
        boxes = [(f"cup{place}", code) for place, code in enumerate(codes, 1)]
        return [dict(pair) for pair in combinations(boxes, 2)]
    return [{"pick": code} for code in codes[method.reference :]]


def find_answers(sealed: SealedTasting, serving: PlannedServing, *, right: bool) -> list[Form]:
    """Find the right answers to a serving, or the wrong ones."""
    method, direction = get_method(sealed.plan.method), sealed.plan.direction
    order, codes = sealed.order(serving), serving.codes
    roles = order.translate(SWAPPED) if direction and direction.more == "A" else order
    return [
        form
        for form in list_answers(method, codes)
        if method.is_correct(method.parse_answer(form, codes), codes, roles) == right
    ]


def guess_answer(sealed: SealedTasting, serving: PlannedServing, chance: Random) -> Form:
    """Guess, each answer as likely as any other."""
    answers = list_answers(get_method(sealed.plan.method), serving.codes)
    return answers[chance.randrange(len(answers))]
