"""Labels where servings of two kinds are called one or the other; `{names}` are filled in."""

CALLS = {
    "a-not-a": ("“{a}” called A", "“{b}” called A"),
    "same-different": ("Pairs of one sample called alike", "Pairs of both called alike"),
}
"""Yes to the first kind of servings (hits), and to the second (false alarms)."""

NUMBERS = {
    "correct": "Right answers",
    "hits": "{call} (hits)",
    "false_alarms": "{call} (false alarms)",
    "difference": "Difference of the two rates",
    "p_value": "Exact one-sided p, within tasters",
    "d_prime": "d′",
    "criterion": "Criterion",
    "d_prime_adjusted": "d′ with half an answer added to every count",
}
RATE = "{yes} of {all}: {share} ({level} limits {low} to {high})"
DIFFERENCE = "{value} ({level} limits {low} to {high})"
CRITERION = {
    "a-not-a": "{value} from half way between the samples",
    "same-different": "cups farther apart than {value} were called different",
}
KINDS = {
    "a-not-a": ("“{a}”", "“{b}”"),
    "same-different": ("one sample", "both samples"),
}
ANSWERS = {"a-not-a": ("A", "not A"), "same-different": ("alike", "different")}
TABLE = "Answers by what stood there"
TABLE_HEAD = "Stood there"

# Figures

FIGURE_GUESSING = "chance of each count of hits by guessing"
FIGURE_NEEDED = "needed: {needed} or more"
FIGURE_NEVER = "no count reaches the planned level"
FIGURE_REACHED = "reached: {k}"
FIGURE_COUNT_AXIS = "hits of {n}"
FIGURE_RATE_AXIS = "% of servings called so"
FIGURE_HITS = "hits: {share}, {level} limits {low} to {high}"
FIGURE_ALARMS = "false alarms: {share}, {level} limits {low} to {high}"
GUESSING_ALT = "Chance of each count of hits by guessing, as bars; reached: {k}; needed: {needed}."
RATES_ALT = "Hits {hits}, false alarms {alarms}, each with its limits."
