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
