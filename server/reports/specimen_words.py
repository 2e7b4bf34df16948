"""Sentences about pieces of the part under test."""

from server.brewing.brewed import PartState

STATES = {
    PartState.NEW: "never brewed with; cleaned as its maker says",
    PartState.WASHED: "never brewed with; washed or boiled out beyond what its maker says",
    PartState.USED: "has made brews, and is kept clean in the usual way",
    PartState.DESCALED: "has made brews, and was descaled or treated with a cleaner since",
    PartState.AS_FOUND: "has made brews; nobody knows how it was cared for",
}
CONDITIONING = (
    "Cleaned as its maker says: when, and how?",
    "Smelt dry and cold, before any water: of what, if of anything?",
    "Hot rinses: how many, and with how much water?",
    "The last washing-up liquid, cleaner or descaler: which, when, and rinsed with how much?",
    "Where it lay since: open or boxed, and beside what?",
    "Batch and day of purchase, so that its like can be found again.",
)
ALIKE = (
    "Treat the pieces of all samples alike: as many rinses, with the same water. Oil left on a "
    "used piece can turn rancid, so as found, cleaned and new are three different tests. "
    "(Common practice, no source.)"
)

# In a finding

USED = "“{label}” was brewed with {pieces}"
WITHOUT = "“{label}” without the part"
SEALED_AS = ", {states} when sealed"
NOT_FRESH = " but for {brews} before that"
SPEAKS = {
    True: "{used}. This speaks of this one piece, never of a material or a make.",
    False: "{used}. This speaks of these {n} pieces, never of a material or a make.",
}
ALL_FRESH = "“{label}” was tested as new: each of its {brews} was the first of a fresh piece."
REUSED = (
    "“{label}” was tested as new, but {reused} of its {brews} {was} made with a piece that had "
    "made brews before: this speaks of pieces in their first {oldest}, not of new ones."
)
NOT_NOTED = "Which piece made {unknown} of the {brews} of “{label}” was not noted."
STATES_MIXED = (
    "The pieces of “{label}” were in different states ({states}): if they taste different, "
    "nobody knows which state did it."
)
TREND = {
    "fell": (
        "Right answers became fewer the more brews the pieces of “{label}” had made ({answers}, "
        "exact two-sided p {p}, not adjusted): what was noticed may be an effect of first use."
    ),
    "rose": (
        "Right answers became more the more brews the pieces of “{label}” had made ({answers}, "
        "exact two-sided p {p}, not adjusted)."
    ),
    "none": (
        "That right answers went with the brews the pieces of “{label}” had made was not shown "
        "(exact two-sided p {p}, not adjusted); {answers} may well miss it."
    ),
}
NO_TREND = (
    "Whether right answers went with the brews the pieces of “{label}” had made cannot be told "
    "from these answers."
)

PIECES = (
    "Pieces of the part",
    ("Sample", "Piece", "Part", "State when sealed", "Brews before sealing", "Brews served"),
)
AGES = (
    "Right answers by the brews the piece had made",
    (
        "Sample",
        "Brews the piece had made before",
        "Brews served",
        "Answers to servings with a cup of them",
        "Right",
    ),
)
FIRST_OF_NEW = "0: first brew of a new piece"
SLOT_FIRST = "{slot} (its first)"
NOT_SEALED = "not sealed"
NOT_NAMED = "not noted"
