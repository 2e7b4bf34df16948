"""What to do next after a similarity test."""

from collections.abc import Iterator

from server.blinding.plans import Purpose
from server.reports import next_words, steps
from server.reports.analysis import Analysis
from server.reports.display import show_share
from server.reports.facts import suit
from server.reports.few import words
from server.reports.few.claims import OWN, PASSED
from server.reports.few.facts import find_declared, find_people, say_few
from server.reports.reach import GOOD_POWER
from server.reports.verdicts import Verdict


def list_next_steps(analysis: Analysis, verdict: Verdict) -> tuple[str, ...]:
    """List what to do next, most useful first."""
    if verdict not in OWN:
        return steps.list_next_steps(analysis, verdict)
    if verdict in PASSED:
        accept = say_few(words.NEXT_ACCEPT, analysis)
        return (*steps.remove_rivals(analysis), *ask_for_control(analysis), accept)
    unshown = [words.NEXT_DIFFERENCE] if verdict == Verdict.FEW_UNSHOWN else []
    return (*_ask_more(analysis), *ask_for_control(analysis), *unshown)


def _ask_more(analysis: Analysis) -> Iterator[str]:
    people = find_people(find_declared(analysis.plan))
    if people is None:
        yield words.NEXT_LARGER_LIMIT
    elif people > analysis.main.trials:
        yield say_people(people)


def say_people(people: int) -> str:
    """Say how many people a next similarity test needs."""
    return words.NEXT_PEOPLE.format(people=people, power=show_share(GOOD_POWER))


def ask_for_control(analysis: Analysis) -> Iterator[str]:
    """Ask for a known difference, if none was served."""
    if analysis.find_control(Purpose.POSITIVE) is None:
        yield suit(next_words.NEXT_POSITIVE, analysis)
