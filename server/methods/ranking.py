"""Three to eight samples put in one order, by how much of something they have."""

from server.methods.base import N_
from server.methods.scored import ScoredMethod

RANKING = ScoredMethod(
    name="ranking",
    title="Ranking",
    purpose="In what order do three to eight samples come, by one thing that is named?",
    standard="ISO 8587:2006/Amd 1:2013",
    asked="ranking",
    starter="ranking",
    decides=(
        "Friedman’s test of the rank sums, exact wherever that is feasible, then which pairs are "
        "apart, all pairs together. If an order was declared beforehand: Page’s test along it."
    ),
    needs=(
        "Everybody has cups of their own, meets all samples, each once, and puts them in one "
        "order.",
        "The sheet to start from asks for strength and takes no ties. For another thing, or with "
        "ties, copy it among your sheets and change the copy.",
    ),
    fewest=3,
    most=8,
    question=N_("Put all codes in one order."),
    instruction=N_(
        "Taste all codes once before you decide on any place; you may taste again. What the first "
        "place means stands on the sheet."
    ),
    suggested={
        "style": "own", "primary": "order", "assessors": "12", "bowls": "1", "sittings": "1",
    },
)  # fmt: skip
