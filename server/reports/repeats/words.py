"""Every sentence about several answers of a person; `{names}` are filled in beside it.

The pooled test is exact because everybody who only guesses is alike (Kunert & Meyners 1999);
the model of people who differ is the chance-corrected beta-binomial (Brockhoff 2003).
"""

DECIDES = {
    "pooled": (
        "Declared beforehand: all answers together decide. That test is exact however much "
        "people differ, and speaks about this panel on these brews."
    ),
    "people": (
        "Declared beforehand: the mean of people decides. It speaks about people like these "
        "{persons}, by a model (beta-binomial), not by an exact count."
    ),
}
OTHERWISE = {
    True: "The other test would have found a difference: {other}.",
    False: "The other test would not have found a difference: {other}.",
}
OTHER = {
    "pooled": "the mean of people, p {mean}",
    "people": "all answers together, exact p {pooled}",
}
DIFFER = {
    True: "People differed by more than chance alone makes them (p {differ}).",
    False: "That people differ by more than chance is not shown (p {differ}).",
}
NO_MEAN = "One person tells nothing about others: the mean of people cannot be tested."
POWER = {
    True: (
        "The stated chance to find the size that matters is that of the mean of people, if "
        "everybody notices equally often."
    ),
    False: (
        "The stated chance to find the size that matters is that of all answers together, if "
        "everybody notices equally often."
    ),
}

# What may be said

ABOVE = "The mean of people like these is above guessing (p {mean}, beta-binomial model)."
NOT_ABOVE = (
    "{k} of {n} answers were right; that the mean of people like these is above guessing is not "
    "shown (p {mean})."
)

# Next steps

NEXT_PEOPLE = "Ask more people: the mean of people rests on their number, not on their answers."
