"""What a scored table concludes: whether samples differ, and what to do with that."""

from collections.abc import Iterator, Mapping
from enum import StrEnum
from typing import Literal, NamedTuple

from server.blinding.events import State
from server.brewing.match import Verdict as Match
from server.reports.facts import say_be
from server.reports.scored import TableAnalysis
from server.reports.scored_otherwise import find_against

FEWEST_PEOPLE = 3
"""Below this nobody can be said to go against the rest."""


Standing = Literal["finding", "lead", "none", "untested"]


class TableVerdict(StrEnum):
    """Whether the samples differ."""

    DIFFER = "differ"
    DIFFER_NEARLY_MATCHED = "differ_nearly_matched"
    DIFFER_NOT_MATCHED = "differ_not_matched"
    DIFFER_NOT_MEASURED = "differ_not_measured"
    DIFFER_BOWLS = "differ_bowls"
    NOT_SHOWN = "not_shown"
    NOT_TESTABLE = "not_testable"
    LEADS = "leads"
    NO_LEADS = "no_leads"
    EXPLORATORY = "exploratory"
    ABANDONED = "abandoned"
    NO_ANSWERS = "no_answers"


class Manner(StrEnum):
    """What decides the question that counts."""

    SCORES = "scores"  # samples compared with each other by their scores
    CONTROL = "control"  # each sample against the blind control
    ORDER = "order"  # the samples put in an order
    TREND = "trend"  # along an order that was declared beforehand


class Advice(StrEnum):
    """What the answers speak for; people decide."""

    DECIDE = "decide"
    DISCUSS = "discuss"
    RETASTE = "retaste"


class Reason(StrEnum):
    """Why to taste again, or to talk first, or what to bear in mind."""

    EXPLORATORY = "exploratory"
    NOTHING = "nothing"
    NOT_TESTABLE = "not_testable"
    NOT_SHOWN = "not_shown"
    UNDECLARED = "undeclared"
    SINGLE = "single"
    ODD_BOWL = "odd_bowl"
    READINGS = "readings"
    HANGS = "hangs"
    FEW = "few"
    AGAINST = "against"
    NOT_MATCHED = "not_matched"
    NEARLY_MATCHED = "nearly_matched"
    NOT_MEASURED = "not_measured"


TO_KNOW = {Reason.NEARLY_MATCHED, Reason.NOT_MEASURED}
"""What to bear in mind when deciding."""

TO_TALK = {Reason.AGAINST}
"""Reasons to talk first; all others, but those to bear in mind, are reasons to taste again."""

DIFFER_BY_MATCH = {
    Match.NOT_MATCHED: TableVerdict.DIFFER_NOT_MATCHED,
    Match.NOT_MEASURED: TableVerdict.DIFFER_NOT_MEASURED,
    Match.BORDERLINE: TableVerdict.DIFFER_NEARLY_MATCHED,
}
"""From the gravest state of a rival cause to the mildest: the first found decides."""

RIVAL_STATES = {verdict: state for state, verdict in DIFFER_BY_MATCH.items()}
"""The state of a property that each such verdict is about."""

MATCH_REASONS = {
    Match.NOT_MATCHED: Reason.NOT_MATCHED,
    Match.BORDERLINE: Reason.NEARLY_MATCHED,
    Match.NOT_MEASURED: Reason.NOT_MEASURED,
}


class Test(NamedTuple):
    """The test of one question.

    Attributes
    ----------
    p_value : float or None
    standing : {"finding", "lead", "none", "untested"}
    numeric : bool
    """

    p_value: float | None
    standing: Standing
    numeric: bool


def decide_table(analysis: TableAnalysis) -> TableVerdict:
    """Decide what the table supports."""
    tests = list_tests(analysis)
    if analysis.state == State.ABANDONED:
        return TableVerdict.ABANDONED
    if not tests and not analysis.others.remarks:
        return TableVerdict.NO_ANSWERS
    if analysis.exploratory:
        return TableVerdict.EXPLORATORY
    if analysis.table.primary:
        return _judge_primary(analysis, tests)
    led = any(one.standing == "lead" for one in tests.values())
    return TableVerdict.LEADS if led else TableVerdict.NO_LEADS


def _judge_primary(analysis: TableAnalysis, tests: Mapping[str, Test]) -> TableVerdict:
    name = find_declared(analysis)
    p = tests[name].p_value if name in tests else None
    if p is None:
        return TableVerdict.NOT_TESTABLE
    if p > analysis.alpha:
        return TableVerdict.NOT_SHOWN
    if analysis.single:
        return TableVerdict.DIFFER_BOWLS
    states = [one.state for one in analysis.properties if one.is_rival]
    found = (verdict for state, verdict in DIFFER_BY_MATCH.items() if state in states)
    return next(found, TableVerdict.DIFFER)


def find_manner(analysis: TableAnalysis) -> Manner:
    """Return what decides the question that counts."""
    if analysis.control is not None:
        return Manner.CONTROL
    order = analysis.others.orders.get(find_declared(analysis))
    if order is None:
        return Manner.SCORES
    complete = order.complete
    return Manner.ORDER if complete is None or complete.page is None else Manner.TREND


def list_rivals(analysis: TableAnalysis, *states: Match) -> list[str]:
    """Name the properties that may be why the samples differ, in any or in one of these states."""
    rivals = (one for one in analysis.properties if one.is_rival)
    return [one.name for one in rivals if not states or one.state in states]


def find_declared(analysis: TableAnalysis) -> str:
    """Return the name of the question that was declared to count, a number or not; or empty."""
    declared = analysis.table.primary
    if analysis.primary or not declared:
        return analysis.primary
    names = [*analysis.others.orders, *analysis.others.ticks, *analysis.others.flags]
    fitting = (name for name in names if name == declared or name.startswith(f"{declared}, "))
    return next(fitting, declared)


def list_tests(analysis: TableAnalysis) -> dict[str, Test]:
    """List the test of every question that has answers and is tested."""
    found = {name: Test(p, standing, True) for name, p, standing in _test_numbers(analysis)}
    declared = analysis.table.primary
    for name, p in _test_others(analysis):
        mine = name == declared or name.startswith(f"{declared}, ")
        found[name] = Test(p, _stand(p, analysis.alpha, declared=bool(declared) and mine), False)
    return found


def _test_numbers(analysis: TableAnalysis) -> Iterator[tuple[str, float | None, Standing]]:
    numbers = analysis.numbers
    if numbers is None:
        return
    control = analysis.control
    passed = numbers.verdicts.findings if numbers.verdicts and control is None else ()
    for name, one in numbers.attributes.items():
        if control is not None and name == analysis.primary:
            yield name, control.p_value, _stand(control.p_value, analysis.alpha, declared=True)
            continue
        p = one.samples.p_value
        finding = name in passed
        yield name, p, "finding" if finding else _stand(p, analysis.alpha, declared=False)


def _stand(p: float | None, alpha: float, *, declared: bool) -> Standing:
    if p is None:
        return "untested"
    if p > alpha:
        return "none"
    return "finding" if declared else "lead"


def _test_others(analysis: TableAnalysis) -> Iterator[tuple[str, float | None]]:
    others = analysis.others
    for name, order in others.orders.items():
        yield name, order.p_value
    for name, ticks in others.ticks.items():
        adjusted = [word.p_holm for word in ticks.words.values() if word.p_holm is not None]
        yield name, min(adjusted, default=None)
    for name, flags in others.flags.items():
        yield name, flags.cups.p_value


def advise(
    analysis: TableAnalysis, verdict: TableVerdict
) -> tuple[Advice, tuple[tuple[Reason, str], ...]]:
    """Say what the answers speak for, and why; beside a reason stands who or what it is about."""
    reasons = tuple(_list_reasons(analysis, verdict))
    weighty = {reason for reason, _ in reasons} - TO_KNOW
    if weighty - TO_TALK:
        return Advice.RETASTE, reasons
    return (Advice.DISCUSS if weighty else Advice.DECIDE), reasons


def _list_reasons(analysis: TableAnalysis, verdict: TableVerdict) -> Iterator[tuple[Reason, str]]:
    by_verdict = {
        TableVerdict.EXPLORATORY: Reason.EXPLORATORY,
        TableVerdict.ABANDONED: Reason.NOTHING,
        TableVerdict.NO_ANSWERS: Reason.NOTHING,
        TableVerdict.NOT_TESTABLE: Reason.NOT_TESTABLE,
        TableVerdict.NOT_SHOWN: Reason.NOT_SHOWN,
        TableVerdict.LEADS: Reason.UNDECLARED,
        TableVerdict.NO_LEADS: Reason.UNDECLARED,
        TableVerdict.DIFFER_BOWLS: Reason.SINGLE,
    }
    if verdict in by_verdict:
        yield by_verdict[verdict], ""
    if by_verdict.get(verdict) == Reason.NOTHING:
        return
    for bowl in dict.fromkeys(one.bowl for one in (analysis.bowls.apart if analysis.bowls else ())):
        yield Reason.ODD_BOWL, bowl
    yield from _weigh_readings(analysis)
    yield from _weigh_people(analysis)
    yield from _weigh_match(analysis, verdict)


def _weigh_people(analysis: TableAnalysis) -> Iterator[tuple[Reason, str]]:
    if 0 < len(analysis.people) < FEWEST_PEOPLE:
        yield Reason.FEW, ""
    if analysis.numbers is not None:
        for who in find_against(analysis.numbers, analysis.primary):
            yield Reason.AGAINST, who


def _weigh_match(analysis: TableAnalysis, verdict: TableVerdict) -> Iterator[tuple[Reason, str]]:
    if verdict in RIVAL_STATES:
        for state, reason in MATCH_REASONS.items():
            if rivals := list_rivals(analysis, state):
                yield reason, say_be(rivals, "was", "were")


def _weigh_readings(analysis: TableAnalysis) -> Iterator[tuple[Reason, str]]:
    if not analysis.readings or analysis.readings[0].p_value is None:
        return
    planned = analysis.readings[0].detected
    turned = [one for one in analysis.readings[1:] if one.detected != planned]
    if any(not one.who for one in turned):
        yield Reason.READINGS, ""
    for one in turned:
        if one.who:
            yield Reason.HANGS, one.who
