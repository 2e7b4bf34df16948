"""Labels of a series' numbers, tables and picture; `{names}` are filled in."""

NUMBERS = {
    "answers": "Answers that count",
    "correct": "Right answers",
    "threshold": "Noticed half of the time at (curve)",
    "slope": "Slope of the curve, per factor of ten",
    "fit": "How the curve fits",
    "group": "Geometric mean of best estimates",
    "estimates": "Best estimates",
    "spread": "Their spread, standard deviation of log10",
    "luck": "Lowered by luck, at most on average",
}
OF = "{k} of {n}"
RIGHT = "{k} of {n}; guessing gives about {expected}"
LIMITS = "{value} ({level} limits {low} to {high})"
OPEN_LOW, OPEN_HIGH = "no lower one", "no upper one"
FIT = "deviance {statistic} on {df} degrees of freedom, p {p}"
ESTIMATES = "{n}, {below} below and {above} above the series"
LUCK = "{steps} steps"

STEPS_TITLE = "Right answers by step"
STEPS_HEAD = ("Step", "Right", "Share", "Curve")
PEOPLE_TITLE = "Best estimates by seat"
PEOPLE_HEAD = ("Seat", "Best estimate", "Guessed right before a miss")
MARKS = {True: "right", False: "missed", None: "–"}
PAST = {"": "{value}", "below": "{value}, below the series", "above": "{value}, above the series"}

READINGS_TITLE = "Counted in every way"

FIGURE_AXIS = "{substance}, {unit}"
FIGURE_SHARES = "right answers, %"
FIGURE_GUESSING = "by guessing: {chance}"
FIGURE_HALF = "noticed half of the time: {pc} right"
FIGURE_CURVE = "curve through all answers"
FIGURE_THRESHOLD = "threshold {threshold}, {level} limits {low} to {high}"
FIGURE_ALT = (
    "Share of right answers by step: {shares}. Guessing gives {chance}. Threshold: {threshold}."
)
