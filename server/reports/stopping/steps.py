"""What to do next after a sequential test."""

from server.blinding.plans import Purpose
from server.reports import next_words, steps
from server.reports.analysis import Analysis
from server.reports.facts import suit
from server.reports.stopping import words
from server.reports.stopping.claims import OWN
from server.reports.stopping.facts import get_path
from server.reports.verdicts import Verdict
from server.stats.sequential_plan import GO_ON


def list_next_steps(analysis: Analysis, verdict: Verdict) -> tuple[str, ...]:
    """List what to do next, most useful first."""
    if verdict not in OWN:
        return steps.list_next_steps(analysis, verdict)
    panel = steps.ask_panel(analysis)
    if verdict == Verdict.UNDECIDED:
        ended = get_path(analysis).decision != GO_ON
        return (words.NEXT_LONGER if ended else words.NEXT_FINISH, *panel)
    control = analysis.find_control(Purpose.POSITIVE) is None
    known = [suit(next_words.NEXT_POSITIVE, analysis)] if control else []
    return (words.NEXT_SMALLER, *known, *panel)
