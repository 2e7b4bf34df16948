"""Labels where either sample may be chosen more often; `{names}` are filled in."""

NUMBERS = {
    "correct": "Answers for “{lead}”",
    "expected": "Expected for each by an even split",
    "critical": "Answers for one sample needed at the planned level",
    "p_value": "Exact two-sided p",
    "neither": "Answers for neither",
    "pc": "Share of answers for “{lead}”",
    "d_prime": "d′ between the samples, whichever way",
    "size": "Size that mattered",
    "findable": "Smallest share for one sample found with a chance of {power}",
    "guesses": "Answers marked as a guess",
    "cues": "Answers that named something other than smell and taste",
}
CRITICAL = "{critical} or more, or {other} or fewer"
ALL_OR_NONE = "all of them, or none"
POLICIES = {
    "left_out": "{count}, left out",
    "split_evenly": "{count}, half for each sample",
}
SIZE = "{share} of answers for one sample"
WITH_D_PRIME = "{size} (d′ {d})"
CUES = "{named} of {asked}"
READINGS = {
    "lost_wrong": "Answers with a lost mark counted for “{a}”",
    "lost_right": "Answers with a lost mark counted for “{b}”",
    "given_up_wrong": (
        "Servings given up when marks were known, counted for the sample that is behind"
    ),
}


def say_needed(critical: int, trials: int) -> str:
    """Say how many of so many answers one sample needs.

    Examples
    --------
    >>> say_needed(18, 24), say_needed(8, 8)
    ('18 or more, or 6 or fewer', 'all of them, or none')
    """
    if critical == trials:
        return ALL_OR_NONE
    return CRITICAL.format(critical=critical, other=trials - critical)


COUNTED = "{k} of {n} for “{lead}”"
HEADS = {"Right": "For “{b}”", "Right cup stood here": "“{b}” stood here"}

# Figures

FIGURE_EVEN = "chance of each count if neither is ahead"
FIGURE_NEEDED = "needed: {needed}"
FIGURE_NEVER = "no count reaches the planned level"
FIGURE_REACHED = "reached: {k}"
FIGURE_COUNT_AXIS = "answers of {n} for the sample chosen more often"
FIGURE_LIMITS = "{level} limits: {low} to {high}"
FIGURE_ESTIMATE = "answers for it: {share}"
FIGURE_HALF = "even split"
FIGURE_SIZE = "size that mattered: {size} for one sample"
FIGURE_SHARE_AXIS = "% of answers for the sample chosen more often"
EVEN_ALT = (
    "How many of {answers} go to one sample if neither is ahead, as bars; "
    "reached: {k} for “{lead}”; needed: {critical}."
)
SHARE_ALT = (
    "Share of answers for “{lead}”: {share}, limits {low} to {high}; an even split is 50%; "
    "size that mattered: {size}."
)
