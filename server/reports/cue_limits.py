"""What else than smell and taste told the tasters, in words."""

from collections.abc import Iterator

from server.reports import limit_words
from server.reports.analysis import Analysis
from server.reports.cues import CueTally
from server.reports.display import quote, show_count


def limit_cues(analysis: Analysis) -> Iterator[str]:
    """Say what was named, or that nobody was asked."""
    cues = analysis.cues
    if not cues.asked:
        yield limit_words.NO_CUE_QUESTION
        return
    if cues.named:
        yield limit_words.CUES_NAMED.format(
            named=len(cues.named), asked=show_count(cues.asked, "answer"), cues=list_cues(cues)
        )
    else:
        yield limit_words.NO_CUES.format(asked=show_count(cues.asked, "answer"))
    unasked = analysis.answered - cues.asked
    if unasked:
        yield limit_words.CUES_PARTLY.format(answers=show_count(unasked, "answer"))


def list_cues(cues: CueTally) -> str:
    """List the cues in their tasters' words, each with whether its answer was right, if any is."""
    return ", ".join(quote(one.words) + limit_words.CUE_RIGHT[one.correct] for one in cues.named)
