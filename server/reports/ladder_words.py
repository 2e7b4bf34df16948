"""Sentences about a ladder: tastings of one question whose part rises in number or in brews."""

from collections.abc import Mapping
from typing import Literal

Kind = Literal["state", "dose"]

KINDS: Mapping[str, str] = {
    "dose": "so many like parts in as much of one water",
    "state": "one part new, washed, and after so many brews",
}

NOT_OVER = "Not unsealed yet: nothing is shown of it."
ABANDONED = "Abandoned: it shows nothing."
EXPLORATORY = "Exploratory by its own finding: left out of the trend."
SEQUENTIAL = "It could stop as its answers came, which bends its share: left out of the trend."
KINDS_OF_SERVINGS = "Its right answers depend on how readily people say yes: left out of the trend."
NO_ANSWERS = "No answer counts."
WASHED = "Described; washed is no number of brews, so the trend leaves it out."

OPEN = (
    "The trend is tested once, when every step that was planned is unsealed, abandoned or deleted. "
    "Until then a result here would be an early look."
)
FEW = "A trend needs two steps at least with answers that count."
METHODS = (
    "Steps were asked in different ways: shares compare within one way of asking alone, so there "
    "is no trend."
)
LEVEL = "{n} answers in {steps} steps; the level planned is {alpha}. {test}, p {p}."
TESTS: Mapping[str, str] = {
    "dose": "Exact trend test, one-sided, for a rise with the number of parts",
    "state": "Exact trend test, two-sided, over the brews that the part had made",
}
ALL_ALIKE = "Answers were all right, or all wrong: nothing can rise."

RISES = "Right answers become more frequent with the number of parts."
SUPPORTS = "That speaks for the parts as the cause, and settles nothing by itself."
LEAD = "It is a lead and no finding, for the reasons below."
NO_RISE = (
    "No rise with the number of parts was shown. That does not speak for there being none: few "
    "steps and answers find steep rises alone."
)
CHANGES = {
    True: "Right answers become more frequent with the brews that the part had made.",
    False: "Right answers become rarer with the brews that the part had made.",
}
NO_CHANGE = (
    "No change with the brews was shown. That does not speak for there being none: few steps and "
    "answers find large changes alone."
)
MONOTONE = {True: "No step goes down.", False: "Not every step goes up: look at each by itself."}
RIVALS = "At {steps} {rivals} may be why as well."
LATE = (
    "“{step}” was planned when every result before it was known, and the trend is not the planned "
    "test: who may go on until it turns out right, finds one sooner."
)
INDEPENDENT = (
    "Every answer counts as independent of the others; several answers of one person are not quite."
)
STEP = (
    "Step “{step}” of the ladder “{title}”: this finding stands by itself, and no other step "
    "changes it."
)
NO_TRACE = "A step that was drafted and deleted leaves no trace here: say so if there was one."
PICTURE_SHARE = "right answers, with exact {level} limits"
PICTURE_GUESSING = "by guessing alone"
PICTURE_HEIGHT = "right answers, %"
PICTURE = "Right answers step by step, with exact {level} limits; guessing gives {chance}. {steps}."
PICTURE_STEP = "{step}: {share} ({low} to {high})"

NOT_COMPARED = (
    "That one step reaches its level and another does not says nothing of how they differ: "
    "compare the shares and their limits."
)
NOT_POOLED = (
    "Answers of different steps are never added up. Each step has a finding of its own, which no "
    "later step changes; this page stands beside them."
)
