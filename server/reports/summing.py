"""From judged answers to what is tested: what each family of methods adds up.

Of most methods an answer is right or wrong. Where either sample may be chosen more often,
none is right: sample B is the one counted, and answers for neither follow the plan.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from server.blinding.plans import Plan
from server.methods.asked import find_model
from server.methods.base import A_OR_NOT
from server.methods.registry import YES_NO, get_method
from server.reports.counting import Judgement
from server.stats.counts import CountsResult, analyse_counts
from server.stats.panel_tests import compare_mean_with_chance
from server.stats.replicates import ReplicatesResult, analyse_replicates
from server.stats.similarity import SimilarityResult, judge_similarity
from server.stats.yes_no import Answer, Design, YesNoResult, analyse_yes_no


@dataclass(frozen=True)
class Count:
    """Answers of a test by what they say.

    Attributes
    ----------
    right, wrong
        Right and wrong answers; two-sided those for sample B and for sample A.
    neither
        Answers for neither sample.
    """

    right: int
    wrong: int
    neither: int = 0

    def add(self, right: int, wrong: int) -> "Count":
        """Return the count with so many more of each.

        Examples
        --------
        >>> Count(3, 1).add(0, 2)
        Count(right=3, wrong=3, neither=0)
        """
        return replace(self, right=self.right + right, wrong=self.wrong + wrong)

    def add_against(self, number: int) -> "Count":
        """Return the count with so many more for the sample that is behind.

        Examples
        --------
        >>> Count(1, 3).add_against(2)
        Count(right=3, wrong=3, neither=0)
        """
        return self.add(number, 0) if self.right < self.wrong else self.add(0, number)


def count_answers(judgements: Sequence[Judgement]) -> Count:
    """Count judged answers by what they say."""
    neither = sum(one.neither for one in judgements)
    right = sum(one.correct for one in judgements)
    return Count(right, len(judgements) - right - neither, neither)


def settle_neither(plan: Plan, count: Count) -> tuple[int, int]:
    """Return what is tested: k of n, the answers for neither as the plan says.

    Split evenly, each sample gets half of them; of an odd number the last one goes to the
    sample that is behind, which can only make the test miss more often.

    Examples
    --------
    >>> from types import SimpleNamespace
    >>> split = SimpleNamespace(no_preference="split_evenly")
    >>> settle_neither(split, Count(12, 5, 3)), settle_neither(split, Count(5, 12, 3))
    ((13, 20), (7, 20))
    >>> settle_neither(SimpleNamespace(no_preference="left_out"), Count(12, 5, 3))
    (12, 17)
    """
    named = count.right + count.wrong
    if plan.no_preference != "split_evenly":
        return count.right, named
    half, last = divmod(count.neither, 2)
    return count.right + half + (last if count.right < count.wrong else 0), named + count.neither


def analyse_count(plan: Plan, correct: int, trials: int, level: float) -> CountsResult | None:
    """Test k of n as the plan's method is tested; None if nothing counts."""
    if not trials:
        return None
    sided = get_method(plan.method).sided
    return analyse_counts(find_model(plan), correct, trials, float(plan.alpha), level, sided)


def judge_few(plan: Plan, correct: int, trials: int) -> SimilarityResult | None:
    """Judge k of n by the similarity test of a plan; None if there is none, or no answer.

    Several answers of one person carry no such claim: then there is no result either.
    """
    if plan.similarity is None or not trials or plan.rounds * plan.sittings > 1:
        return None
    limit, beta = float(plan.similarity.limit), float(plan.similarity.beta)
    return judge_similarity(correct, trials, find_model(plan).chance, limit, beta)


def analyse_kinds(plan: Plan, judgements: Sequence[Judgement], level: float) -> YesNoResult | None:
    """Test answers that call servings of two kinds one or the other; None if one is missing.

    Within each whole set of orders at a seat the kinds were drawn, so that the answers of
    such a block are what chance could have dealt otherwise.
    """
    method = YES_NO[plan.method]
    answers = [
        Answer(
            first=one.order in method.first,
            yes=(one.order in method.first) == one.correct,
            assessor=f"{one.seat}, {one.block}",
        )
        for one in judgements
    ]
    if len({one.first for one in answers}) < 2:
        return None
    design: Design = "a-not-a" if method.form == A_OR_NOT else "same-different"
    return analyse_yes_no(design, answers, level)


def count_people(judgements: Sequence[Judgement]) -> tuple[list[int], list[int]]:
    """Count right answers and all answers of each person, by seat."""
    seats = sorted({one.seat for one in judgements})
    mine = [[one.correct for one in judgements if one.seat == seat] for seat in seats]
    return [sum(one) for one in mine], [len(one) for one in mine]


def find_mean_p(plan: Plan, judgements: Sequence[Judgement]) -> float | None:
    """Return the p of the mean of people against guessing; None for one person or nobody."""
    correct, trials = count_people(judgements)
    if len(trials) < 2:
        return None
    return compare_mean_with_chance(correct, trials, find_model(plan).chance).p_value


def analyse_people(
    plan: Plan, judgements: Sequence[Judgement], level: float
) -> ReplicatesResult | None:
    """Analyse several answers of each person; None if the plan declared nothing of the kind."""
    correct, trials = count_people(judgements)
    if not plan.several or not trials:
        return None
    return analyse_replicates(find_model(plan), correct, trials, float(plan.alpha), level)
