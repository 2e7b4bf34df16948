"""Sentences about recipes held against a house reference: never a rank, never a grade."""

from server.reports.benchmark_tastings import Outcome

TASTED = {
    Outcome.APART: "Blind tasters told it apart from the house reference.",
    Outcome.CLOUDED: (
        "Blind tasters told it apart from the house reference, but something beside the recipe "
        "may be why."
    ),
    Outcome.FEW: (
        "If blind tasters notice a difference from the house reference, only few of them do."
    ),
    Outcome.NOT_SHOWN: (
        "Blind tasters were not shown to tell it apart from the house reference, which is no proof "
        "that nobody can."
    ),
}
NOT_TASTED = (
    "Whether anybody notices a difference from the house reference is not known: no unsealed "
    "blind tasting asked it."
)
NO_CONCLUSION = "It was tasted against the house reference, without a conclusion."
DISAGREE = "Its tastings do not say the same: {told}."
TOLD = {
    Outcome.APART: "told apart in {n}",
    Outcome.CLOUDED: "told apart with another cause possible in {n}",
    Outcome.FEW: "noticed by few, if any, in {n}",
    Outcome.NOT_SHOWN: "not shown in {n}",
}
STRENGTH, EXTRACTION = "strength", "extraction"
UNITS = {STRENGTH: "%TDS", EXTRACTION: "points"}
MORE = {STRENGTH: ("stronger", "weaker"), EXTRACTION: ("more extracted", "less extracted")}
DECIMALS = {STRENGTH: 2, EXTRACTION: 1}
CLEAR = "It is {more} by {size} {unit} on average ({level} limits {low} to {high})."
UNCLEAR = (
    "A difference in {what} is not shown: {difference} {unit} on average ({level} limits {low} to "
    "{high})."
)
NOT_COMPARED = {
    STRENGTH: "Strength is not compared: that takes {fewest} brews of each that were read.",
    EXTRACTION: (
        "Extraction is not compared: that takes {fewest} brews of each whose yield is known by one "
        "form."
    ),
}
FORMS_DIFFER = (
    "Extraction is not compared: the yields were worked out by different forms, which lie two or "
    "three points apart by themselves."
)
INSTRUMENTS = (
    "Strengths were read on different instruments; by how much these differ is not in the limits."
)
LIKED = "Which of them is liked better was asked as well: {headline} {samples}"
RESTS = "That rests on {mine}, {its} of the house reference, and {tastings} of the two."
UNKNOWN = "Still unknown: {what}."
UNASKED = {
    "liking": "which of the two is liked better, so nothing here says better or worse",
    "noticing": "whether anybody notices a difference",
    "strength": "how far strengths of one recipe lie apart from brew to brew",
    "extraction": "which of the two extracts more",
    "others": "how other coffees, waters and people would come out",
}
NEXT = "Next: {step}"
STEPS = {
    "brew": "brew each of them at least {fewest} times and read the strength of every brew.",
    "match": (
        "bring the strengths together first, by grind or by water added to the stronger one. "
        "Otherwise strength alone may be what is tasted."
    ),
    "taste": "plan a blind test of the two, with several brews of each.",
    "again": "taste them again with brews that are matched in what the finding names.",
    "disagree": "plan one larger test, with the number of answers fixed beforehand.",
    "like": "if liking is what matters, ask for it: a paired preference test.",
    "few": (
        "if it matters that hardly anybody notices, plan a similarity test: it says how many may "
        "at most."
    ),
    "other": "try both with another coffee: so far this holds for what was brewed and tasted.",
}
WORTH = (
    "Whether a difference is worth its price, time and washing-up is for you to weigh: nothing "
    "here ranks or grades a brewer."
)
HOW_COUNTED = (
    "Counted are kept brews of the bench and noted brews of unsealed tastings. ± are the limits of "
    "the median: how far brews lie apart and the instrument, as the root of the sum of their "
    "squares, times the root of 3. Differences are of means, with Welch’s limits."
)
APART = {"finding": "yes", "lead": "a lead"}
"""What two means that lie apart come to, by the test of their question; anything else is no."""

SAMPLES = "“{mine}” was brewed by this recipe, “{its}” by the house reference."
MEANS_HINT = (
    "Mean of this recipe less that of the house reference. Limits and “told apart” are those of "
    "the finding, all its samples together; a question that was not declared to count is a lead at "
    "most."
)
OF = "of {brews}"
NO, NO_LIMITS = "no", "not estimable"
NONE = "–"
