"""Labels of numbers and figures of a similarity test."""

NUMBERS = {
    "most_correct": "Right answers that pass at most",
    "upper": "Largest share the answers still allow (one-sided {level} limit)",
    "limit": "Share that was not to be reached",
    "beta": "Risk of passing although it is reached (β)",
    "passes_planned": "Chance to pass if nobody notices, as planned",
    "passes_reached": "Chance to pass if nobody notices, as reached",
}
OUTCOMES = {
    True: "shows that it stays below the limit",
    False: "does not show it",
    None: "no conclusion",
}
NONE_PASSES = "none: too few answers"
FIGURE_AT_LIMIT = "chance of each count if {limit} of judgements notice"
FIGURE_PASSES = "passes: {most} or fewer right"
FIGURE_PASSES_ALT = "{most} or fewer pass"
FIGURE_NONE_PASSES = "none passes: too few answers"
FIGURE_ALT = (
    "How many of {answers} would be right if {limit} of judgements noticed, as bars; "
    "reached: {k}; {passes}."
)
FIGURE_LIMIT = "not to be reached: {limit}"
FIGURE_UPPER = "largest share still allowed ({level} limit): {upper}"
FIGURE_SHARE_ALT = (
    "Estimated share that noticed: {pd}; largest share that the answers still allow: {upper}; "
    "share that was not to be reached: {limit}."
)
