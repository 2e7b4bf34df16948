"""Did anything but smell and taste tell them? What those who were asked have named."""

from collections.abc import Sequence
from dataclasses import dataclass

from server.reports.counting import Judgement


@dataclass(frozen=True)
class NamedCue:
    """What one counted answer named, in its taster's own words, and whether it was right.

    ``correct`` is None where no answer is right or wrong.
    """

    words: str
    correct: bool | None


@dataclass(frozen=True)
class CueTally:
    """Counted answers that were asked, and those that named something."""

    asked: int
    named: tuple[NamedCue, ...]

    @property
    def correct(self) -> int:
        """Right answers that named something."""
        return sum(bool(one.correct) for one in self.named)


def tally_cues(judgements: Sequence[Judgement], judged: bool = True) -> CueTally:
    """Collect the cues that counted answers named; ``None`` means that nobody asked.

    ``judged`` says whether answers are right or wrong.
    """
    asked = [one for one in judgements if one.cue is not None]
    named = (NamedCue(one.cue, one.correct if judged else None) for one in asked if one.cue)
    return CueTally(len(asked), tuple(named))
