"""Labels of numbers, figures and tables; `{names}` are filled in by the modules beside it."""

# Numbers

NUMBERS = {
    "answers": "Answers that count, of those planned",
    "correct": "Right answers",
    "expected": "Right answers expected by guessing",
    "critical": "Right answers needed at the planned level",
    "p_value": "Exact one-sided p",
    "alpha": "Planned level (α)",
    "pc": "Share of right answers",
    "null": "Right in the null control, against the test",
    "positive": "Right in the positive control, against the test",
    "positive_power": "Chance to find the positive control’s declared size ({size} noticing)",
    "pd": "Share of judgements in which the difference was noticed (guessing model)",
    "pd_one_each": "Share of tasters who noticed the difference (guessing model)",
    "pd_upper": "Largest such share the answers still allow",
    "d_prime": "d′",
    "size": "Size that mattered",
    "power_planned": "Chance to find that size, as planned",
    "power_reached": "Chance to find that size, as reached",
    "findable": "Smallest share found with a chance of {power}",
    "people": "Tasters, and answers of each",
    "brews": "Brews behind the answers",
    "relief": "Chosen against tired palates and caffeine",
    "guesses": "Right among answers marked as a guess",
    "cues": "Answers that named something other than smell and taste",
}
NO_D_PRIME = {
    "triangle-odd-known": "none: which sample was odd was known, its direction was not",
    "two-out-of-five": "none: it depends on how tasters group five cups, which nobody knows",
}
"""Why there is no d′, by the model of the answers."""
SITTINGS = "{taster}, {servings} in {sittings} on {days}"
NO_CUES = "none of {asked}"
CUES = "{named} of {asked}; {right} right"
INTERVAL_ONLY = "not used: too few answers"
NOT_PLANNED_P = "{p} (not as planned)"
TWO_SIDED = "{value} (two-sided {level} limits {low} to {high})"
ONE_SIDED = "{value} (one-sided {level} limit)"
OPEN_LIMIT = "no upper limit"
OPEN_LOW = "no lower limit"
AGAINST_TEST = "{rate}; test: {test}"
NO_CONTROL_ANSWER = "no answer counts"
NONE_MARKED = "none marked"
EXPECTED = "{expected} ({chance} of {n})"
NONE_NEEDED = "no number reaches it"
SIZE = "{share} noticing (d′ {d})"
SIZE_SHARE = "{share} noticing"

# Other ways to count

READINGS = {
    "planned": "As planned",
    "contested_first": "Contested servings with their first answer",
    "contested_last": "Contested servings with their last answer",
    "late": "With late answers",
    "voided": "With the answers of servings taken out",
    "without_cues": "Without answers that named something other than smell and taste",
    "lost_wrong": "Answers with a lost mark counted as wrong",
    "lost_right": "Answers with a lost mark counted as right",
    "given_up_wrong": "Servings given up when marks were known, counted as wrong",
    "marks_first": "By the marks as they were entered first",
}
REACHES = {True: "reaches the planned level", False: "does not reach the planned level"}
NO_P = "no answer counts"

# Figures

FIGURE_GUESSING = "chance of each count by guessing alone"
FIGURE_NEEDED = "needed: {critical} or more right"
FIGURE_REACHED = "reached: {k} right"
FIGURE_COUNT_AXIS = "right answers of {n}"
FIGURE_SHARE_AXIS = {
    False: "% of judgements that noticed (guessing model)",
    True: "% of tasters who noticed (guessing model)",
}
FIGURE_LIMITS = "{level} limits: {low} to {high}"
FIGURE_ESTIMATE = "estimate: {pd}"
FIGURE_SIZE = "size that mattered: {size}"
FIGURE_BELOW = "not estimable: below guessing;\ncheck key and trays"
FIGURE_GUESSING_ALT = (
    "How many of {answers} guessing alone gets right, as bars; reached: {k}; needed: {critical}."
)
FIGURE_SHARE_ALT = (
    "Estimated share that noticed the difference: {pd}, limits {low} to {high}; "
    "size that mattered: {size}."
)
FIGURE_BELOW_ALT = (
    "The share that noticed the difference is not estimable: below guessing; "
    "check key and trays. Size that mattered: {size}."
)

# Tables

TABLES = {
    "match": (
        "Brews served",
        ("Round", "Pour", "Sample", "Strength, %TDS", "Spread of readings, %TDS", "°C", "Fill, g"),
    ),
    "brews": (
        "Brews behind the answers",
        (
            "Sample",
            "Pours",
            "Brews",
            "Recorded",
            "With strength",
            "With temperature",
            "With fill",
        ),
    ),
    "controls": (
        "Test and controls",
        ("Served as", "Planned", "Counted", "Right", "Share right", "Limits of it", "Exact p"),
    ),
    "sortings": ("Cups put together, by position", ("Counted from the left", "Chosen", "Right")),
    "positions": ("Picks by position", ("Position", "Picked", "Right cup stood here")),
    "sittings": (
        "Sittings",
        ("Sitting", "Day (UTC)", "Planned", "Counted", "Right", "Mark lost", "Photo"),
    ),
    "orders": ("Orders as they fell", ("Left to right", "Servings")),
    "rounds": ("Answers by round", ("Round", "Planned", "Counted", "Right")),
}
PURPOSES = {
    "test": "test",
    "null": "null control: two brews of one sample",
    "positive": "positive control: a small known difference",
}
SITTING = "Sitting"
NO_DAY = "–"
PHOTO = {True: "yes", False: "no"}
NOT_READ = "not read"
JUDGED = ("Extraction, % (how found)", "Waited for the last brew of its round, min")


def say_position(position: int, last: int) -> str:
    """Say where a cup stood.

    Examples
    --------
    >>> [say_position(place, 3) for place in (1, 2, 3)]
    ['left', 'middle', 'right']
    """
    if position in (1, last):
        return "left" if position == 1 else "right"
    return "middle" if last == 3 else str(position)


def say_sorting(together: str) -> str:
    """Say which cups were put together, counted from the left.

    Examples
    --------
    >>> say_sorting("1+4 2+3"), say_sorting("1+5")
    ('1 and 4, 2 and 3', '1 and 5')
    """
    return ", ".join(" and ".join(group.split("+")) for group in together.split())
