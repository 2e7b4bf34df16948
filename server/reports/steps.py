"""What to do next, by verdict."""

from collections.abc import Iterator, Mapping

from server.blinding.plans import Pots, Purpose
from server.brewing.match import Verdict as Match
from server.methods.registry import get_method
from server.methods.traits import has_controls
from server.reports import brew_pick_words, next_words
from server.reports.analysis import Analysis
from server.reports.claims import Say, choose_by_verdict, fill_all
from server.reports.cue_limits import list_cues
from server.reports.display import join_words, show_share
from server.reports.facts import fill, is_one_taster, lacks_null, list_rivals, suit
from server.reports.reach import GOOD_POWER
from server.reports.reliance import CHAIN_BROKEN, CUES, NOT_UNSEALED, SEAL_MISMATCH
from server.reports.verdicts import Verdict


def list_next_steps(analysis: Analysis, verdict: Verdict) -> tuple[str, ...]:
    """List what to do next, most useful first."""
    return tuple(choose_by_verdict(_NEXT, verdict)(analysis, verdict))


def say_trials(template: str, trials: int) -> str:
    """Say how many answers a next test or control needs."""
    return template.format(trials=trials, power=show_share(GOOD_POWER))


def _step_after_told_apart(analysis: Analysis, _: Verdict) -> list[str]:
    steps = list(remove_rivals(analysis)) or list(_ask_further(analysis))
    return [*steps, *ask_panel(analysis)]


def remove_rivals(analysis: Analysis) -> Iterator[str]:
    """Say how to remove every rival cause."""
    measure = list_rivals(analysis, Match.NOT_MEASURED)
    bring = list_rivals(analysis, Match.NOT_MATCHED, Match.BORDERLINE)
    properties = [one for one in bring if one != "looks"]
    if properties:
        yield next_words.NEXT_MATCH.format(rivals=join_words(properties))
    if "looks" in bring:
        yield next_words.NEXT_LOOKS
    if measure:
        yield next_words.NEXT_MEASURE.format(rivals=join_words(measure))


def _ask_further(analysis: Analysis) -> Iterator[str]:
    if lacks_null(analysis):
        yield choose_helped(analysis, next_words.NEXT_NULL, next_words.NEXT_NULL_ALONE)
    if analysis.plan.direction is None:
        yield next_words.NEXT_DIRECTION_THEN if lacks_null(analysis) else next_words.NEXT_DIRECTION
    yield next_words.NEXT_STATES


def choose_helped(analysis: Analysis, step: str, helped: str) -> str:
    """Choose the step as it suits the cups, or, alone, the one that takes a helper."""
    alone = analysis.alone is not None and has_controls(get_method(analysis.plan.method))
    return helped if alone else suit(step, analysis)


def _step_after_brews(analysis: Analysis, _: Verdict) -> list[str]:
    blended = analysis.plan.pots == Pots.BLEND
    return [next_words.NEXT_LARGER_BLEND if blended else next_words.NEXT_BLEND]


def _step_after_not_detected(analysis: Analysis, _: Verdict) -> list[str]:
    counts = analysis.counts
    enough = (
        next_words.NEXT_ENOUGH
        if counts and counts.pd_upper is not None
        else next_words.NEXT_SMALLER
    )
    return [fill(enough, analysis), *ask_panel(analysis)]


def _step_after_miss(analysis: Analysis, _: Verdict) -> list[str]:
    needed, steps = analysis.reach.trials_needed, list(_improve_positive(analysis))
    if needed is None:
        steps.append(next_words.NEXT_TOO_SMALL)
    elif needed > analysis.main.trials:
        steps.insert(0, say_trials(next_words.NEXT_TRIALS, needed))
    return [*steps, *ask_panel(analysis)]


def _improve_positive(analysis: Analysis) -> Iterator[str]:
    positive = analysis.find_control(Purpose.POSITIVE)
    if positive is None or positive.declared is None:
        yield choose_helped(analysis, next_words.NEXT_POSITIVE, next_words.NEXT_POSITIVE_ALONE)
    elif not positive.is_large_enough:
        needed = positive.declared.trials_needed
        larger = next_words.NEXT_POSITIVE_LARGER
        yield larger if needed is None else say_trials(next_words.NEXT_POSITIVE_MORE, needed)
    elif not positive.detected:
        yield next_words.NEXT_POSITIVE_MISSED


def ask_panel(analysis: Analysis) -> list[str]:
    """Point to a panel, if one person tasted."""
    return [next_words.NEXT_PANEL] if is_one_taster(analysis) else []


def _step_after_exploring(analysis: Analysis, _: Verdict) -> list[str]:
    if NOT_UNSEALED in analysis.exploratory:
        return [next_words.NEXT_UNSEAL]
    broken = {SEAL_MISMATCH, CHAIN_BROKEN} & set(analysis.exploratory)
    again = next_words.NEXT_AGAIN if analysis.alone is None else next_words.NEXT_AGAIN_ALONE
    return [*([next_words.NEXT_SEAL] if broken else []), *_mend_cues(analysis), again]


def _mend_cues(analysis: Analysis) -> list[str]:
    if CUES not in analysis.exploratory:
        return []
    return [next_words.NEXT_CUES.format(cues=list_cues(analysis.cues))]


_NEXT: Mapping[Verdict, Say] = {
    Verdict.TOLD_APART: _step_after_told_apart,
    Verdict.TOLD_APART_BREWS: _step_after_brews,
    Verdict.TOLD_APART_POTS: fill_all(next_words.NEXT_BREWS),
    Verdict.TOLD_APART_ONE_BREW: fill_all(brew_pick_words.NEXT),
    Verdict.NOT_DETECTED: _step_after_not_detected,
    Verdict.INCONCLUSIVE_WEAK: _step_after_miss,
    Verdict.BELOW_GUESSING: fill_all(next_words.NEXT_CHECK),
    Verdict.EXPLORATORY: _step_after_exploring,
    Verdict.ABANDONED: fill_all(next_words.NEXT_AGAIN),
    Verdict.NO_ANSWERS: fill_all(next_words.NEXT_AGAIN),
}
