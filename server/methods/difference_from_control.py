"""How far each sample is from a control: one stands open, and again blind among the codes.

No standard describes it; common practice. A control is scored away from itself as well, by
people who expect differences. So every sample is compared with the blind control's own
scores, and no score is judged by itself.
"""

from server.methods.base import N_, NO_STANDARD
from server.methods.scored import ScoredMethod

DIFFERENCE_FROM_CONTROL = ScoredMethod(
    name="difference-from-control",
    title="Difference from control",
    purpose="How far is each sample from a control, in any way or in one?",
    standard=NO_STANDARD,
    asked="control",
    starter="difference-from-control",
    decides=(
        "Each sample against the blind control’s own scores, person by person, exact, one-sided: "
        "further off than the control is from itself. Adjusted for all samples (Holm)."
    ),
    needs=(
        "The control is a sample like the others and stands under a code on every table. It is "
        "also the open cup that everybody tastes first and keeps beside the codes.",
        "Everybody has cups of their own, large enough to go back to the open one.",
    ),
    fewest=2,
    most=8,
    question=N_("How far is every code from the open control?"),
    instruction=N_(
        "Keep the open control beside you, and go back to it as often as you like. A code may be "
        "the control again: nobody expects differences."
    ),
    suggested={
        "style": "own", "reference": "A", "warm_up": "A", "primary": "difference",
        "assessors": "12", "bowls": "1", "sittings": "1",
    },
)  # fmt: skip
