"""What sentences about servings of two kinds are filled with, and which stand for others."""

from server.reports.analysis import Analysis
from server.reports.kinds import words
from server.reports.pair_words import WITH_PAIRS


def collect_kinds(analysis: Analysis) -> dict[str, object]:
    """Collect hits and false alarms, and how many servings there were of each kind."""
    found = analysis.kinds
    if found is None:
        return {}
    rates = found.rates
    return {
        "hits": rates.first_yes,
        "firsts": rates.first,
        "alarms": rates.second_yes,
        "seconds": rates.second,
    }


def suit_kinds(template: str, analysis: Analysis) -> str:
    """Choose the sentence that speaks of two kinds of servings."""
    name, by_method = analysis.plan.method, words.BY_METHOD.get(template)
    if by_method:
        return by_method[name]
    if name == "a-not-a" or template in words.OF_LOOKS:
        template = WITH_PAIRS.get(template, template)
    return words.INSTEAD.get(template, template)
