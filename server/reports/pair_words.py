"""What stands in place of sentences of the triangle where a method has no like cups."""

from server.reports.claim_words import POTS
from server.reports.limit_words import LIKE_CUPS, LOOKED_ONLY, NO_LOOK_CHECK
from server.reports.next_words import (
    NEXT_BREWS,
    NEXT_NULL,
    NEXT_NULL_PAIR,
    NEXT_POSITIVE,
    NEXT_POSITIVE_PAIR,
    REPAIR_POTS,
)

# Where no controls can be served: another test can tell

WITHOUT_CONTROLS = {NEXT_NULL: NEXT_NULL_PAIR, NEXT_POSITIVE: NEXT_POSITIVE_PAIR}

# Without like cups: what stands in place of a sentence about them

WITH_PAIRS = {
    POTS: "Two pots were told apart: all cups of a sample came from one brew.",
    LIKE_CUPS: (
        "Every pair sets one brew of a sample against one of the other: "
        "few brews of each may be told apart as pots."
    ),
    NO_LOOK_CHECK: "Nobody tried whether the cups can be known by looking.",
    LOOKED_ONLY[False]: "By looking alone {k} of {n} cups were known before sealing.",
    LOOKED_ONLY[True]: (
        "By looking alone {k} of {n} cups were known before sealing: "
        "looks may have given the cups away."
    ),
    NEXT_BREWS: "Brew each sample several times, pour from all of the brews, and repeat.",
    REPAIR_POTS: "Pour from several brews of each sample, not from one pot.",
}
