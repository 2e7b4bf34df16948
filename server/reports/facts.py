"""What the sentences of a finding are filled with."""

from dataclasses import dataclass

from server.blinding.plans import Purpose
from server.blinding.seal import spaced
from server.brewing.match import Verdict as Match
from server.methods.registry import get_method
from server.methods.traits import answers_yes_or_no, asks_by_name, has_controls, has_like_cups
from server.reports.analysis import Analysis
from server.reports.brew_picks import say_carrying
from server.reports.display import (
    NO_VALUE,
    join_words,
    show_chance,
    show_count,
    show_round_chance,
    show_share,
)
from server.reports.headline_words import EXPLORATORY_REASONS, ONE_TASTER, PANEL
from server.reports.kinds.facts import collect_kinds, suit_kinds
from server.reports.limit_words import STILL_ALLOWED
from server.reports.pair_words import WITH_PAIRS, WITHOUT_CONTROLS
from server.reports.verdicts import find_rivals

PLURALS = {"looks"}


def is_one_taster(analysis: Analysis) -> bool:
    """Tell whether every counted answer is one person's."""
    return analysis.people.persons == 1


def is_one_answer_each(analysis: Analysis) -> bool:
    """Tell whether nobody answered twice, so that shares of answers are shares of tasters."""
    return analysis.people.most == 1 and analysis.people.persons > 1


def is_pair(analysis: Analysis) -> bool:
    """Tell whether no two cups of a serving are of one sample."""
    return not has_like_cups(get_method(analysis.plan.method))


def is_named(analysis: Analysis) -> bool:
    """Tell whether the question named what differs."""
    return asks_by_name(get_method(analysis.plan.method))


def can_be_controlled(analysis: Analysis) -> bool:
    """Tell whether controls could have been planned."""
    fixed = analysis.alone is None and analysis.plan.sequential is None
    return fixed and has_controls(get_method(analysis.plan.method))


def lacks_null(analysis: Analysis) -> bool:
    """Tell whether nothing shows what brews alone do, although it could have been tried.

    Where every cup is a brew of its own, brews that differ point to no cup.
    """
    return analysis.find_control(Purpose.NULL) is None and not analysis.plan.single_cups


@dataclass(frozen=True)
class Lead:
    """Which sample was chosen more often, how often, and which one was not."""

    ahead: str
    behind: str
    count: int


def find_lead(analysis: Analysis) -> Lead:
    """Return the sample that was chosen more often; the second one where neither was.

    Where an answer is right or wrong, the count is that of the right ones.
    """
    a, b = analysis.samples[0].label, analysis.samples[-1].label
    for_b, trials = analysis.main.correct, analysis.main.trials
    if analysis.two_sided and 2 * for_b < trials:
        return Lead(a, b, trials - for_b)
    return Lead(b, a, for_b)


def suit(template: str, analysis: Analysis) -> str:
    """Choose the sentence that speaks of the cups as they were served."""
    if answers_yes_or_no(get_method(analysis.plan.method)):
        return suit_kinds(template, analysis)
    if not has_controls(get_method(analysis.plan.method)):
        template = WITHOUT_CONTROLS.get(template, template)
    return WITH_PAIRS.get(template, template) if is_pair(analysis) else template


def say_reason(analysis: Analysis, reason: str) -> str:
    """Say why the numbers are not those of the planned test."""
    return EXPLORATORY_REASONS[reason].format(seal=spaced(analysis.plan.extends))


def list_rivals(analysis: Analysis, *states: Match) -> list[str]:
    """Name the rival causes in one of these states; all of them if none is given."""
    rivals = find_rivals(analysis)
    return [name for name, state in rivals.items() if not states or state in states]


def say_be(words: list[str], singular: str, plural: str) -> str:
    """Join words and give them their verb.

    Examples
    --------
    >>> say_be(["strength"], "was", "were"), say_be(["looks"], "was", "were")
    ('strength was', 'looks were')
    """
    one = len(words) == 1 and words[0] not in PLURALS
    return f"{join_words(words)} {singular if one else plural}" if words else ""


def fill(template: str, analysis: Analysis, **more: str) -> str:
    """Fill a sentence, as it suits the cups, with the facts of an analysis."""
    return suit(template, analysis).format(**_collect_facts(analysis) | more)


def _collect_facts(analysis: Analysis) -> dict[str, object]:
    who = ONE_TASTER if is_one_taster(analysis) else PANEL
    trials, reach, attribute = analysis.main.trials, analysis.reach, analysis.plan.asked_for
    power, lead = reach.power_reached or 0.0, find_lead(analysis)
    success = get_method(analysis.plan.method).success
    return {
        "who": who,
        "Who": who.capitalize(),
        "attribute": attribute,
        "success": success.format(attribute=attribute, lead=lead.ahead),
        "lead": lead.ahead,
        "other": lead.behind,
        "rest": trials - lead.count,
        "more": _find_more(analysis),
        "a": analysis.samples[0].label,
        "b": analysis.samples[-1].label,
        "k": lead.count,
        "n": trials,
        "answers": show_count(trials, "answer"),
        "reached": analysis.answered,
        "planned": reach.planned,
        "critical": reach.critical_reached,
        "carrying": say_carrying(analysis.by_brew),
        "expected": show_expected(analysis),
        "chance": show_chance(analysis.main.p_value or 0.0),
        "power": show_share(power),
        "power_planned": show_share(reach.power_planned),
        "miss": show_round_chance(1 - power),
        "upper": _show_upper(analysis),
        "size": show_share(reach.size_share),
        **collect_kinds(analysis),
    }


def _find_more(analysis: Analysis) -> str:
    """Return the label of the sample that should have more; empty if none was named."""
    direction = analysis.plan.direction
    named = (one.label for one in analysis.samples if direction and one.level == direction.more)
    return next(named, "")


def _show_upper(analysis: Analysis) -> str:
    upper = analysis.counts.pd_upper if analysis.counts else None
    return NO_VALUE if upper is None else show_share(upper)


def say_still_allowed(analysis: Analysis) -> list[str]:
    """Say what the answers of a miss still allow; nothing if that is not estimable."""
    counts = analysis.counts
    if counts is None or counts.pd_upper is None or counts.pd_upper >= 1:
        return []
    sentence = STILL_ALLOWED[is_one_answer_each(analysis)]
    return [fill(sentence, analysis, risk=show_chance(1 - counts.level))]


def show_expected(analysis: Analysis) -> str:
    """Show how many right answers guessing gives on average."""
    chance = analysis.counts.chance if analysis.counts else 0.0
    return f"{analysis.main.trials * chance:.1f}".removesuffix(".0")
