"""What to do next where either sample may be chosen more often."""

from collections.abc import Mapping

from server.reports import next_words, steps
from server.reports.analysis import Analysis
from server.reports.claims import Say, fill_all
from server.reports.facts import lacks_null, suit
from server.reports.sides import words
from server.reports.sides.claims import choose, is_liking
from server.reports.steps import ask_panel, remove_rivals, say_trials
from server.reports.verdicts import Verdict


def list_next_steps(analysis: Analysis, verdict: Verdict) -> tuple[str, ...]:
    """List what to do next, most useful first."""
    return tuple(choose(_NEXT, verdict)(analysis, verdict))


def _step_after_lean(analysis: Analysis, _: Verdict) -> list[str]:
    asked = [words.NEXT_WHY] if is_liking(analysis) else []
    null = [suit(next_words.NEXT_NULL, analysis)] if lacks_null(analysis) else []
    further = [*asked, *null, next_words.NEXT_STATES]
    return [*(list(remove_rivals(analysis)) or further), *ask_panel(analysis)]


def _step_after_miss(analysis: Analysis, _: Verdict) -> list[str]:
    needed = analysis.reach.trials_needed
    more = [] if needed is None else [say_trials(next_words.NEXT_TRIALS, needed)]
    enough = needed is not None and needed <= analysis.main.trials
    asked = [words.NEXT_GROUPS] if is_liking(analysis) else []
    size = [next_words.NEXT_TOO_SMALL] if needed is None else [] if enough else more
    return [*size, *asked, words.NEXT_APART, *ask_panel(analysis)]


_NEXT: Mapping[Verdict, Say] = {
    Verdict.LEANS: _step_after_lean,
    Verdict.LEANS_POTS: fill_all(next_words.NEXT_BREWS),
    Verdict.NO_LEAN: _step_after_miss,
    Verdict.EXPLORATORY: lambda analysis, verdict: list(steps.list_next_steps(analysis, verdict)),
    Verdict.ABANDONED: fill_all(next_words.NEXT_AGAIN),
    Verdict.NO_ANSWERS: fill_all(next_words.NEXT_AGAIN),
}
