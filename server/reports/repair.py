"""The next plan: what to change so that the weakest points of a tasting are repaired."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from server.blinding.plans import Plan, Pots, Pourer, Purpose
from server.brewing.match import Verdict as Match
from server.methods.asked import find_model
from server.methods.registry import YES_NO
from server.reports import next_words
from server.reports.analysis import Analysis
from server.reports.display import join_words
from server.reports.facts import can_be_controlled, lacks_null, list_rivals, suit
from server.reports.few import words as few_words
from server.reports.few.facts import find_declared, find_people
from server.reports.few.steps import say_people
from server.reports.reach import find_trials
from server.reports.repeats import words as repeat_words
from server.reports.steps import choose_helped, say_trials
from server.reports.stopping import words as stop_words
from server.reports.stopping.facts import find_rounds
from server.reports.verdicts import Verdict, decide_verdict
from server.stats.sequential_plan import GO_ON
from server.stats.thurstone import pc_from_share

MOST_ROUNDS = 4
"""Servings of the test that one person is asked for in one go; common practice, no source."""

MOST_SITTINGS = 12
"""Sittings that somebody alone is asked for; common practice, no source."""

MOST_PEOPLE = 60
"""Seats that a plan can have."""

LONGEST_LABEL = 300
POSITIVE_PERCENT = "90"
"""Declared size of a suggested positive control, as share noticing, in percent."""

TOO_FEW = {Verdict.INCONCLUSIVE_WEAK, Verdict.INCONCLUSIVE_OUT_OF_REACH}
MISSED = {
    *TOO_FEW,
    Verdict.INCONCLUSIVE_UNSHOWN,
    Verdict.INCONCLUSIVE_CONTROL_MISSED,
    Verdict.INCONCLUSIVE_CONTROL_SMALL,
    Verdict.NOT_DETECTED,
    Verdict.FEW,
    Verdict.FEW_UNSHOWN,
    Verdict.FEW_OUT_OF_REACH,
}
TOLD_APART = {
    Verdict.TOLD_APART,
    Verdict.TOLD_APART_NEARLY_MATCHED,
    Verdict.TOLD_APART_NOT_MATCHED,
    Verdict.TOLD_APART_NOT_MEASURED,
    Verdict.TOLD_APART_POTS,
    Verdict.TOLD_APART_ONE_BREW,
    Verdict.LEANS,
    Verdict.LEANS_NEARLY_MATCHED,
    Verdict.LEANS_NOT_MATCHED,
    Verdict.LEANS_NOT_MEASURED,
    Verdict.LEANS_POTS,
}


@dataclass(frozen=True)
class Repair:
    """What to change in the next plan, and why.

    Attributes
    ----------
    changes
        Field of the form of a plan to its new value, as typed; only what differs
        from the old plan.
    reasons
        Sentences; also of what no field can change.
    """

    changes: Mapping[str, str]
    reasons: tuple[str, ...]


Step = tuple[dict[str, str], str]
"""Changed fields, and the reason for them."""


def suggest_repair(analysis: Analysis) -> Repair:
    """Suggest what to change in a next tasting of the same question.

    Parameters
    ----------
    analysis : Analysis
        Of a tasting that is over.

    Returns
    -------
    Repair
        Nothing to change if the tasting had no weak point that a plan can repair.
        Where two repairs change one field, the graver weakness decides.
    """
    verdict = decide_verdict(analysis)
    changes: dict[str, str] = {}
    reasons: list[str] = []
    for repair in _REPAIRS:
        for fields, reason in repair(analysis, verdict):
            changes |= fields
            reasons.append(reason)
    return Repair(MappingProxyType(changes), tuple(reasons))


def _repair_blinding(analysis: Analysis, _: Verdict) -> Iterator[Step]:
    if analysis.blinding.level:
        return
    open_by_pourer = any(
        one.cause != "key_look" and not one.level for one in analysis.blinding.caps
    )
    if open_by_pourer:
        planned = analysis.plan.pourer
        absent = {} if planned != Pourer.TASTER else {"pourer": Pourer.ABSENT.value}
        yield absent, next_words.REPAIR_POURER
    else:
        yield {}, next_words.REPAIR_KEY


def _repair_pots(analysis: Analysis, _: Verdict) -> Iterator[Step]:
    if analysis.plan.pots == Pots.SINGLE:
        better = Pots.BLEND if analysis.plan.alone else Pots.SEPARATE
        yield {"pots": better.value}, suit(next_words.REPAIR_POTS, analysis)
    null = analysis.find_control(Purpose.NULL)
    if null is None or not null.detected or analysis.exploratory:
        return
    if analysis.plan.pots == Pots.BLEND:
        yield {}, next_words.NEXT_LARGER_BLEND
    else:
        yield {"pots": Pots.BLEND.value}, next_words.REPAIR_BLEND


def _repair_match(analysis: Analysis, verdict: Verdict) -> Iterator[Step]:
    if verdict not in TOLD_APART:
        return
    rivals = list_rivals(analysis, Match.NOT_MATCHED, Match.BORDERLINE)
    properties = [one for one in rivals if one != "looks"]
    if properties:
        yield {}, next_words.REPAIR_MATCH.format(rivals=join_words(properties))
    if "looks" in rivals:
        yield {}, next_words.NEXT_LOOKS
    unread = list_rivals(analysis, Match.NOT_MEASURED)
    if unread:
        yield {}, next_words.NEXT_MEASURE.format(rivals=join_words(unread))


def _repair_size(analysis: Analysis, verdict: Verdict) -> Iterator[Step]:
    needed, plan = analysis.reach.trials_needed, analysis.plan
    if verdict not in TOO_FEW or plan.several == "people":
        return  # the mean of people needs people, see `_ask_people`
    if needed is None:
        yield {}, next_words.NEXT_TOO_SMALL
    elif plan.trials >= needed:
        yield {}, next_words.REPAIR_GAPS
    elif plan.method in YES_NO:
        people = min(MOST_PEOPLE, _divide_up(needed, plan.rounds))
        yield {"assessors": str(people)}, say_trials(next_words.NEXT_TRIALS, needed)
        if people * plan.rounds < needed:
            most = people * plan.rounds
            yield {}, next_words.REPAIR_SITTINGS.format(most=most, trials=needed)
    elif plan.alone:
        yield from _add_sittings(plan, needed)
    else:
        rounds, people = _spread(needed, plan.assessors)
        fields = {"rounds": (rounds, plan.rounds), "assessors": (people, plan.assessors)}
        changed = {name: str(new) for name, (new, old) in fields.items() if new != old}
        yield changed, say_trials(next_words.NEXT_TRIALS, needed)
        if rounds * people < needed:
            yield {}, next_words.REPAIR_SITTINGS.format(most=rounds * people, trials=needed)


def _ask_people(analysis: Analysis, verdict: Verdict) -> Iterator[Step]:
    if verdict in TOO_FEW and analysis.plan.several == "people":
        yield {}, repeat_words.NEXT_PEOPLE


def _repair_few(analysis: Analysis, verdict: Verdict) -> Iterator[Step]:
    """Ask more people, once each, where a similarity test showed nothing."""
    if verdict not in (Verdict.FEW_UNSHOWN, Verdict.FEW_OUT_OF_REACH):
        return
    people = find_people(find_declared(analysis.plan))
    if people is None:
        yield {}, few_words.NEXT_LARGER_LIMIT
    elif people > analysis.plan.trials:
        yield {"assessors": str(min(people, MOST_PEOPLE))}, say_people(people)
        if people > MOST_PEOPLE:
            yield {}, few_words.REPAIR_SHORT.format(most=MOST_PEOPLE, people=people)


def _repair_stopping(analysis: Analysis, verdict: Verdict) -> Iterator[Step]:
    """Give a sequential plan the rounds in which it keeps both its risks."""
    if verdict != Verdict.UNDECIDED or analysis.plan.sequential is None:
        return
    if analysis.main.ended == GO_ON:
        yield {}, stop_words.NEXT_FINISH
        return
    rounds = find_rounds(analysis.plan)
    if rounds is None:
        yield {}, stop_words.NEXT_LONGER
    else:
        yield {"rounds": str(rounds)}, stop_words.NEXT_LONGER


def _add_sittings(plan: Plan, needed: int) -> Iterator[Step]:
    sittings = min(MOST_SITTINGS, _divide_up(needed, plan.rounds))
    yield {"sittings": str(sittings)}, say_trials(next_words.NEXT_TRIALS, needed)
    most = sittings * plan.rounds
    if most < needed:
        short = {"most": most, "sittings": sittings, "trials": needed}
        yield {}, next_words.REPAIR_MORE_SITTINGS.format(**short)


def _spread(needed: int, assessors: int) -> tuple[int, int]:
    """Return rounds and people: more rounds first, then more people."""
    rounds = min(MOST_ROUNDS, _divide_up(needed, assessors))
    return rounds, min(MOST_PEOPLE, max(assessors, _divide_up(needed, rounds)))


def _divide_up(number: int, by: int) -> int:
    return -(-number // by)


def _repair_controls(analysis: Analysis, verdict: Verdict) -> Iterator[Step]:
    if not can_be_controlled(analysis):
        yield from _look_for_controls(analysis, verdict)
        return
    if verdict in MISSED and analysis.find_control(Purpose.POSITIVE) is None:
        planned = analysis.plan.positive_control is not None
        many = verdict not in TOO_FEW  # there more people are asked for
        yield {} if planned else _add_positive(analysis, many), next_words.REPAIR_POSITIVE
    if verdict == Verdict.INCONCLUSIVE_CONTROL_SMALL:
        yield from _enlarge_positive(analysis)
    if verdict in TOLD_APART and lacks_null(analysis):
        yield {} if analysis.plan.null_control else {"null_control": "on"}, next_words.REPAIR_NULL


def _enlarge_positive(analysis: Analysis) -> Iterator[Step]:
    """Give a positive control as many rounds as it needs, if so many can be served."""
    positive = analysis.find_control(Purpose.POSITIVE)
    needed = positive.declared.trials_needed if positive and positive.declared else None
    if needed is None:
        yield {}, next_words.NEXT_POSITIVE_LARGER
        return
    rounds = _divide_up(needed, analysis.plan.assessors)
    reason = say_trials(next_words.NEXT_POSITIVE_MORE, needed)
    yield {"positive_rounds": str(rounds)} if rounds <= MOST_ROUNDS else {}, reason


def _look_for_controls(analysis: Analysis, verdict: Verdict) -> Iterator[Step]:
    """Say what another test, or a helper, could control."""
    if verdict in MISSED and not analysis.two_sided:
        yield {}, choose_helped(analysis, next_words.NEXT_POSITIVE, next_words.NEXT_POSITIVE_ALONE)
    if verdict in TOLD_APART and lacks_null(analysis):
        yield {}, choose_helped(analysis, next_words.NEXT_NULL, next_words.NEXT_NULL_ALONE)


def _add_positive(analysis: Analysis, many: bool) -> dict[str, str]:
    room = LONGEST_LABEL - len(next_words.REPAIR_LABEL.format(a=""))
    label = next_words.REPAIR_LABEL.format(a=analysis.samples[0].label[:room])
    rounds = _count_positive_rounds(analysis.plan) if many else 1
    return {
        "positive_control": "on",
        "positive_label": label,
        "positive_percent": POSITIVE_PERCENT,
    } | ({"positive_rounds": str(rounds)} if rounds > 1 else {})


def _count_positive_rounds(plan: Plan) -> int:
    """Count the rounds in which a suggested positive control has its power, within reason."""
    model = find_model(plan)
    pc = pc_from_share(float(POSITIVE_PERCENT) / 100, model.chance)
    needed = find_trials(model, float(plan.alpha), pc)
    return 1 if needed is None else min(MOST_ROUNDS, _divide_up(needed, plan.assessors))


_REPAIRS: tuple[Callable[[Analysis, Verdict], Iterator[Step]], ...] = (
    _repair_blinding,
    _repair_pots,
    _repair_match,
    _repair_size,
    _ask_people,
    _repair_few,
    _repair_stopping,
    _repair_controls,
)
