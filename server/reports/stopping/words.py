"""Every sentence of a sequential test; `{names}` are filled in by the modules beside it."""

from server.reports.verdicts import Verdict

HEADLINES = {
    Verdict.NOT_OF_SIZE: (
        "Stopped as planned, with too few right answers for a difference of the planned size "
        "({size} noticing); smaller ones stay possible."
    ),
    Verdict.UNDECIDED: "Undecided: {why}.",
}
WHY = {
    "no decision": "the planned end came while the count of right answers was between the lines",
    "go on": "it was closed before the sealed plan said stop",
}

# What may be said

ENDED_HIGH = "After {n} answers the sealed plan ended the test: {high} or more right were needed."
ENDED_LOW = "After {n} answers the sealed plan ended the test: {low} or fewer right were needed."
ENDED_NEARER = (
    "After {n} answers, the planned end, the count was between the lines, and the nearer one "
    "decided, as sealed."
)
FOUND = "In these brews {success} in {k} of {n} servings; guessing gives about {expected}."
BY_GUESSING = "By guessing alone the sealed plan finds a difference in {alpha} such tests."
BY_SIZE = (
    "If {size} of judgements noticed, the sealed plan would end without a finding of it "
    "in {missed} such tests."
)
COUNTED = "{k} of {n} answers were right."

# What may not be said

NOT_BELOW = "That a smaller share than {size} is excluded."
NOT_A_P = "A p-value or limits made for a fixed number of answers."
NOT_MORE = "That further answers would have said as much."

# Limits

STOPPED = (
    "The answers decided when to stop: no p-value and no limits are given, but the exact risks "
    "of the sealed plan, worked out over all its endings."
)
ABOVE = "A true risk of the sealed plan is above its nominal one: {risks}."
LEFT_OUT = "{answers} came after the answers had ended the test, and are left out."
SPARE = (
    "In spare seats {persons} gave {answers}; they are left out, because a plan that may stop "
    "counts the planned seats alone."
)
UNJUDGED = "{answers} came after the last complete block, and were not judged."
SEVERAL_EACH = (
    "Several answers of a person: the risk of a false alarm holds however much people differ, "
    "that of a miss only if all of them notice equally often."
)
UNSERVED = (
    "Closed before the plan said stop: {reached} of {planned} planned answers. "
    "Reason given: {reason}."
)

# Next steps

NEXT_SMALLER = "If a smaller size matters, plan a test for it, with more answers."
NEXT_LONGER = "Plan more rounds for the answers to decide in, or a larger size; then seal anew."
NEXT_FINISH = "Seal a new tasting, and serve until its plan says stop."
