"""Labels of numbers, the table and the figure of a sequential test."""

NUMBERS = {
    "ended": "How the sealed plan ended it",
    "looks": "Blocks of complete rounds judged",
    "true_alpha": "Chance to find a difference by guessing alone, exact",
    "true_beta": "Chance not to find {size} noticing, exact",
    "mean_guessing": "Answers on average, if nobody notices",
    "mean_size": "Answers on average, if {size} notice",
    "size": "Size that mattered",
    "p_value": "Exact one-sided p",
}
ENDED = {
    "difference": "a difference",
    "no difference of the planned size": "too few right for the planned size",
    "no decision": "the planned end, between the lines",
    "go on": "not at all: closed before",
}
NO_P = "none: the answers decided when to stop"
OUTCOMES = {
    "difference": "ends with a difference",
    "no difference of the planned size": "ends with too few right for the planned size",
    "no decision": "decides nothing",
    "go on": "has not ended",
}
TABLE = (
    "Blocks judged",
    ("Answers", "Right", "Ends with so few", "Ends with so many", "The plan said"),
)
SAID = {True: "stop", False: "go on"}
NEVER = "–"
FIGURE_PATH = "right answers, one answer after another"
FIGURE_LOOK = "judged: after each block of complete rounds"
FIGURE_HIGH = "from here on: a difference"
FIGURE_LOW = "from here on: too few for {size} noticing"
FIGURE_X = "answers"
FIGURE_Y = "right answers"
FIGURE_ALT = (
    "Right answers against answers, with the two lines at which the sealed plan ends: "
    "{k} of {n} right after {looks} judged. It ended with: {ended}."
)
