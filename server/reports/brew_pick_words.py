"""What is said of answers by brew."""

HEADLINE = "{Who} told cups apart, but that rests on {carrying}, not on the samples as a whole."
CARRIED = (
    "The result rests on {brews}: with {them} more answers were right than brews differ by "
    "chance, and without {them} {k} of {n} were right, short of the planned level."
)
ONE_POT_EACH = (
    "Behind the answers stand {pots}, no more: nothing tells what comes of a sample from what "
    "comes of its pot."
)
MAY_SAY = "Something about {carrying} was noticed: that pot may have been odd."
MAY_NOT = "That the samples differ: other brews of them do not bear it out."
NEXT = "Brew each sample several times more, pour from all of the brews, and repeat."
TABLE = (
    "Picks by brew",
    (
        "Brew",
        "Sample",
        "Round",
        "Right where it stood",
        "Picked as the right one",
        "Picked though it was not",
        "Right without it",
        "Exact p without it",
    ),
)
