"""What the page says of Bayes factors of a scored table: the prior, its reach, every pair."""

from collections.abc import Iterator
from dataclasses import dataclass

from server.reports import table_words as words
from server.reports.display import NO_VALUE, show_count, show_share
from server.reports.scored import TableAnalysis
from server.reports.scored_beliefs import PairBelief, ScoreBeliefs
from server.reports.table_figures.shown import show_limits
from server.reports.table_grid import Grid
from server.reports.table_grids import name_question
from server.reports.table_names import show_points
from server.stats.score_bayes import Weighed

LITTLE = 3.0
"""Up to so many times, or so many times less, a Bayes factor is worth no more than a mention:
Jeffreys, Theory of Probability (1961), appendix B (from memory)."""

MOST = 10_000.0


@dataclass(frozen=True)
class Beliefs:
    """What is said, and a row for every pair of samples."""

    title: str
    lines: tuple[str, ...]
    grid: Grid


def show_beliefs(analysis: TableAnalysis) -> Beliefs:
    """Show how the scores of the declared question weigh differences against none."""
    found = analysis.beliefs
    if found is None:
        return Beliefs(words.BELIEFS_TITLE, (_say_why_not(analysis),), Grid("beliefs", "", (), ()))
    rows = tuple(_show_pair(analysis, one) for one in found.pairs)
    title = words.BELIEFS_GRID.format(question=name_question(analysis, found.question))
    return Beliefs(
        words.BELIEFS_TITLE,
        tuple(_say(analysis, found)),
        Grid("beliefs", title, words.BELIEFS_HEAD, rows),
    )


def _say_why_not(analysis: TableAnalysis) -> str:
    if not analysis.primary:
        return words.BELIEFS_UNDECLARED
    return words.BELIEFS_SHARED if analysis.table.shared else words.BELIEFS_NONE


def _say(analysis: TableAnalysis, found: ScoreBeliefs) -> Iterator[str]:
    scale = _show_scale(found.scales[0])
    yield words.BELIEFS_PRIOR[found.declared].format(scale=scale)
    yield words.BELIEFS_MEANING
    if found.together is not None:
        yield _say_together(found)
    if len(found.pairs) > 1:
        pairs = show_count(len(found.pairs), "pair")
        yield words.BELIEFS_PAIRS.format(pairs=pairs)
    yield words.BELIEFS_POSTERIOR.format(scale=scale, level=show_share(1 - analysis.alpha))
    if analysis.single:
        yield words.BELIEFS_SINGLE
    yield words.BELIEFS_ASIDE


def _say_together(found: ScoreBeliefs) -> str:
    together = found.together
    assert together is not None
    if not together.weighed:
        return words.BELIEFS_TOGETHER_NONE.format(why=" ".join(together.notes))
    planned, half, twice = map(show_factor, together.weighed)
    return words.BELIEFS_TOGETHER.format(
        people=show_count(together.people, "person", "persons"),
        planned=planned,
        half=half,
        twice=twice,
        says=words.BELIEFS_SAY[judge(together.weighed)],
    )


def _show_pair(analysis: TableAnalysis, pair: PairBelief) -> tuple[str, ...]:
    one = pair.found
    return (
        words.PAIR.format(one=analysis.label(pair.second), other=analysis.label(pair.first)),
        words.BELIEFS_SAY[judge(one.weighed)],
        *_show_factors(one.weighed),
        show_points(one.difference),
        show_limits(one.interval, 1),
        NO_VALUE if one.above is None else _show_chance(one.above),
        str(one.people),
    )


def _show_factors(weighed: tuple[Weighed, ...]) -> tuple[str, str]:
    if not weighed:
        return NO_VALUE, NO_VALUE
    planned, half, twice = map(show_factor, weighed)
    return planned, words.BELIEFS_OTHERS.format(half=half, twice=twice)


def _show_chance(chance: float) -> str:
    return words.BELIEFS_NEARLY if chance > 0.999 else show_share(chance)


def judge(weighed: tuple[Weighed, ...]) -> str:
    """Tell what Bayes factors speak for: ``difference``, ``none``, ``little`` or ``depends``.

    It depends on the prior if that would be another word under another of the priors.

    Examples
    --------
    >>> judge((Weighed(0.7, 2.3, 10.0), Weighed(0.35, 2.1, 8.2), Weighed(1.4, 2.0, 7.4)))
    'difference'
    >>> judge((Weighed(0.7, -0.9, 0.41), Weighed(1.4, -1.5, 0.22)))
    'depends'
    """
    said = {_judge(one) for one in weighed}
    if not said:
        return "untested"
    return said.pop() if len(said) == 1 else "depends"


def _judge(one: Weighed) -> str:
    factor = one.bayes_factor
    if factor is not None and 1 / LITTLE < factor < LITTLE:
        return "little"
    return "difference" if one.log_bayes_factor > 0 else "none"


def show_factor(one: Weighed) -> str:
    """Show a Bayes factor; one below 1 as a fraction, because people read it so.

    Examples
    --------
    >>> [show_factor(Weighed(1, 0, x)) for x in (4.24, 23.4, 0.2, 0.999, 2e5, 1e-9)]
    ['4.2', '23', '1/5.0', '1.0', 'more than 10,000', 'less than 1/10,000']
    """
    if one.log_bayes_factor < 0 or (one.bayes_factor or 1.0) < 1:
        return _show_below(one.bayes_factor)
    return _show_above(one.bayes_factor)


def _show_above(factor: float | None) -> str:
    if factor is None or factor > MOST:
        return words.BELIEFS_MORE.format(most=f"{MOST:,.0f}")
    return f"{factor:.1f}" if factor < 10 else f"{factor:,.0f}"


def _show_below(factor: float | None) -> str:
    if factor is None or factor < 1 / MOST:
        return words.BELIEFS_LESS.format(most=f"{MOST:,.0f}")
    shown = _show_above(1 / factor)
    return shown if shown == "1.0" else f"1/{shown}"


def _show_scale(scale: float) -> str:
    return f"{scale:.2f}"
