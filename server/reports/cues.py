"""Did anything but smell and taste tell them? What those who were asked have named."""

from collections.abc import Sequence
from dataclasses import dataclass

from server.reports.counting import Judgement


@dataclass(frozen=True)
class NamedCue:
    """What one counted answer named, in its taster's own words, and whether it was right."""

    words: str
    correct: bool


@dataclass(frozen=True)
class CueTally:
    """Counted answers that were asked, and those that named something."""

    asked: int
    named: tuple[NamedCue, ...]

    @property
    def correct(self) -> int:
        """Right answers that named something."""
        return sum(one.correct for one in self.named)


def tally_cues(judgements: Sequence[Judgement]) -> CueTally:
    """Collect the cues that counted answers named; ``None`` means that nobody asked."""
    asked = [one for one in judgements if one.cue is not None]
    return CueTally(len(asked), tuple(NamedCue(one.cue, one.correct) for one in asked if one.cue))
