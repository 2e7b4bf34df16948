"""What may be said, and limits, where several answers of a person count as declared."""

from collections.abc import Iterator

from server.reports import claim_words, claims, limits, steps
from server.reports.analysis import Analysis
from server.reports.display import show_chance, show_count, show_p
from server.reports.facts import fill, is_one_taster
from server.reports.reach import is_mean_walked
from server.reports.repeats import words
from server.reports.verdicts import Verdict
from server.stats.binomial import reaches
from server.stats.replicates import ReplicatesResult

SHOWN = 0.05
"""Level at which people are said to differ; common practice, no source."""


def list_may_say(analysis: Analysis, verdict: Verdict) -> tuple[str, ...]:
    """List what the answers support; where the mean of people decides, what it says."""
    said, found = claims.list_may_say(analysis, verdict), analysis.repeats
    if found is None or analysis.plan.several != "people" or analysis.exploratory:
        return said
    p = show_p(found.mean_against_chance.p_value or 1.0)
    guessing = fill(claim_words.BY_GUESSING, analysis)
    exact = fill(claim_words.BY_GUESSING, analysis, chance=show_chance(found.pooled.p_value))
    missed = fill(claim_words.NOT_REACHED, analysis)
    spoken = {guessing: [exact, words.ABOVE.format(mean=p)]}
    spoken[missed] = [fill(words.NOT_ABOVE, analysis, mean=p)]
    return tuple(sentence for one in said for sentence in spoken.get(one, [one]))


def limit_numbers(analysis: Analysis, verdict: Verdict) -> Iterator[str]:
    """Say which test decides, what the other one says, and whether people differ."""
    found = analysis.repeats
    if found is not None:
        yield from _limit_tests(analysis, found)
    yield from limits.limit_right(analysis, verdict)


def list_next_steps(analysis: Analysis, verdict: Verdict) -> tuple[str, ...]:
    """List what to do next; where the mean of people missed, more people come first."""
    following = steps.list_next_steps(analysis, verdict)
    more = analysis.plan.several == "people" and verdict in claims.INCONCLUSIVE
    return (words.NEXT_PEOPLE, *following) if more else following


def _limit_tests(analysis: Analysis, found: ReplicatesResult) -> Iterator[str]:
    decides, mean = analysis.plan.several, found.mean_against_chance.p_value
    persons = show_count(found.assessors, "person", "persons")
    yield words.DECIDES[decides].format(persons=persons)
    if is_one_taster(analysis) or mean is None:
        yield words.NO_MEAN
        return
    by_mean = reaches(mean, analysis.alpha)
    other = by_mean if decides == "pooled" else found.pooled.detected
    if other != analysis.main.detected:
        p = {"mean": show_p(mean), "pooled": show_p(found.pooled.p_value)}
        yield words.OTHERWISE[other].format(other=words.OTHER[decides].format(**p))
    compared = found.corrected.against_binomial if found.corrected else None
    if compared is not None:
        yield words.DIFFER[compared.p_value <= SHOWN].format(differ=show_p(compared.p_value))
    if not analysis.main.detected:
        yield words.POWER[is_mean_walked(analysis.plan, analysis.main.trials)]
