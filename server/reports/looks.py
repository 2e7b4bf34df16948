"""Could the odd cup be found by looking? What was tried before sealing."""

from dataclasses import dataclass

from server.blinding.plans import Plan
from server.methods.registry import get_method
from server.methods.traits import count_looks
from server.stats.binomial import critical_number

LEVEL = 0.05
"""Level at which looking alone counts as a cue; common practice, no source."""


@dataclass(frozen=True)
class LookResult:
    """Odd cups found by looking alone.

    Attributes
    ----------
    found, tried
        Right picks and picks.
    critical
        Fewest right picks that guessing reaches in at most 5 of 100 tries, if any number does.
    cue
        What gave the odd cup away, in the looker's own words.
    """

    found: int
    tried: int
    critical: int | None
    cue: str

    @property
    def is_cue(self) -> bool:
        """Whether more odd cups were found than guessing explains."""
        return self.critical is not None and self.found >= self.critical


def measure_looks(plan: Plan) -> LookResult | None:
    """Measure the look-only check of a plan; None if nobody tried."""
    check = plan.look_check
    if check is None or not check.picked:
        return None
    tried = len(check.picked)
    chance = 1 / count_looks(get_method(plan.method))
    critical = critical_number(tried, chance, LEVEL)
    return LookResult(check.found, tried, critical, check.cue)
