"""What the sentences and numbers of a similarity test are filled with."""

from dataclasses import dataclass
from functools import lru_cache

from server.blinding.plans import Plan, Similarity
from server.methods.asked import find_model
from server.reports.analysis import Analysis
from server.reports.display import NO_VALUE, show_chance, show_share
from server.reports.facts import fill
from server.reports.reach import GOOD_POWER
from server.stats.binomial import tail
from server.stats.similarity import similarity_power
from server.stats.similarity_trials import trials_for_similarity
from server.stats.thurstone import pc_from_share

NONE = "none"


@dataclass(frozen=True)
class Declared:
    """What a similarity test was planned by, as floats.

    Attributes
    ----------
    chance, limit, beta
        Chance of a right guess, share that must not be reached, risk of passing there.
    """

    chance: float
    limit: float
    beta: float

    def find_chance_to_pass(self, trials: int) -> float:
        """Return how often so many answers pass if nobody notices; 0 if there are none."""
        return similarity_power(trials, self.chance, self.limit, self.beta) if trials else 0.0

    def find_chance_at_limit(self, correct: int, trials: int) -> float:
        """Return how often so few answers or fewer are right where the share is the limit."""
        pc = pc_from_share(self.limit, self.chance)
        return 1 - tail(correct + 1, trials, pc) if correct < trials else 1.0


def find_declared(plan: Plan) -> Declared:
    """Return what a plan's similarity test was planned by.

    Raises
    ------
    ValueError
        If the plan has none.
    """
    planned = plan.similarity
    if not isinstance(planned, Similarity):
        raise ValueError("plan must have a similarity test")
    return Declared(find_model(plan).chance, float(planned.limit), float(planned.beta))


@lru_cache(maxsize=256)
def find_people(declared: Declared, power: float = GOOD_POWER) -> int | None:
    """Find the answers from which on the chance to pass stays good; None if too many.

    Good is what it is of every test here: 0.8, common practice, no source.
    """
    try:
        planned = trials_for_similarity(declared.chance, declared.limit, declared.beta, power)
    except ValueError:
        return None
    return planned.trials_stable


def say_few(template: str, analysis: Analysis, **more: str) -> str:
    """Fill a sentence with the facts of a similarity test."""
    declared, few, main = find_declared(analysis.plan), analysis.few, analysis.main
    upper = few.upper if few else None
    passes, planned = (
        show_share(declared.find_chance_to_pass(trials))
        for trials in (main.trials, analysis.reach.planned)
    )
    facts = {
        "limit": show_share(declared.limit),
        "beta": show_share(declared.beta),
        "level": show_share(1 - declared.beta),
        "upper": NO_VALUE if upper is None else show_share(upper),
        "most": NONE if few is None or few.most_correct is None else str(few.most_correct),
        "at_limit": _say_chance(declared.find_chance_at_limit(main.correct, main.trials)),
        "passes": passes,
        "passes_planned": planned,
    }
    return fill(template, analysis, **facts | more)


def _say_chance(p: float) -> str:
    return f"{show_chance(p)} such tests"
