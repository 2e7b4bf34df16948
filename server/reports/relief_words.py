"""What is said where a plan has many cups or much caffeine for one person."""

CAFFEINE = (
    "About {mg} mg of caffeine for one person in one go, more than the guide of 200 mg "
    "(healthy adults, EFSA 2015; less in pregnancy, and local guidance comes first)."
)
PALATE = (
    "{cups} cups for one person in one go tire the palate: 12 swallowed or 18 spat are common "
    "practice, no source."
)
CHOOSE = "Choose one of these, or plan fewer rounds or smaller cups."
STILL = "What you chose is not enough: choose another, or plan fewer rounds."
MORE_DAYS = "It is still a lot for one day: more days, or another choice."

CHOSEN = {
    "spit": "everybody spits",
    "sips": "small sips, about 10 mL of a cup",
    "decaf": "decaffeinated coffee",
    "days": "rounds spread over {days} days",
}
"""What was chosen, in the plan and in the finding."""


def say_relief(relief: str, days: int) -> str:
    """Say what was chosen; empty where nothing was.

    Examples
    --------
    >>> say_relief("days", 3), say_relief("", 1)
    ('rounds spread over 3 days', '')
    """
    return CHOSEN[relief].format(days=days) if relief else ""
