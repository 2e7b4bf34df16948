"""The forced-choice methods as models: how often chance is right, and how d′ makes it more.

Chances of guessing right: ISO 4120 (triangle), ISO 10399 (duo-trio), ISO 5495 (paired
comparison); the others follow from counting the equally likely answers.
"""

from server.stats import psychometric as curves
from server.stats.thurstone import TRIANGLE, ForcedChoice

__all__ = [
    "DUO_TRIO",
    "PAIRED_COMPARISON",
    "PAIRED_PREFERENCE",
    "TETRAD",
    "TETRAD_SPECIFIED",
    "THREE_AFC",
    "TRIANGLE",
    "TRIANGLE_ODD_KNOWN",
    "TWO_AFC",
    "TWO_OF_FIVE",
    "TWO_OF_FIVE_SPECIFIED",
    "TWO_OF_FIVE_WIDEST_GAP",
    "YES_OR_NO",
]

GROUPING_UNKNOWN = (
    "d′ is not estimable: it depends on how tasters group the five cups. "
    "At d′ = 2, 46 % of answers are correct if they split the cups at the wider inner gap, "
    "48 % if they keep the sum of squares within the groups least."
)
PREFERENCE_IS_NO_DISTANCE = (
    "d′ is not given: people may prefer either sample, "
    "and a mean distance in liking says nothing of how many prefer which."
)

TWO_RATES = (
    "d′ follows from two rates and not from one share of right answers: how readily somebody says "
    "yes is no matter of tasting."
)

ODD_KNOWN = (
    "d′ is not estimable: whoever tasted had poured, and knew which sample was the odd one but "
    "not in which direction it differs. That is no triangle test, and no 3-AFC test either."
)

DUO_TRIO = ForcedChoice("duo-trio", 1 / 2, curves.duo_trio, curves.duo_trio_slope)
"""Duo-trio test with a reference: which of two cups matches it."""

TWO_AFC = ForcedChoice("2-afc", 1 / 2, curves.two_afc, curves.two_afc_slope)
"""Two cups, direction named beforehand: which is stronger. One-sided."""

PAIRED_COMPARISON = ForcedChoice("paired-comparison", 1 / 2, curves.two_afc, curves.two_afc_slope)
"""Two cups, which is stronger, either way round; the model of `TWO_AFC`, tested two-sided."""

PAIRED_PREFERENCE = ForcedChoice(
    "paired-preference", 1 / 2, without_d_prime=PREFERENCE_IS_NO_DISTANCE
)
"""Two cups, which is liked better; two-sided and without d′."""

THREE_AFC = ForcedChoice("3-afc", 1 / 3, curves.three_afc, curves.three_afc_slope)
"""Three cups, one of them stronger in a named way: which."""

TETRAD = ForcedChoice("tetrad", 1 / 3, curves.tetrad, curves.tetrad_slope)
"""Four cups, two of each sample: sort them into two pairs."""

TETRAD_SPECIFIED = ForcedChoice(
    "tetrad-specified", 1 / 6, curves.tetrad_specified, curves.tetrad_specified_slope
)
"""Four cups, two of each sample: which two are stronger in a named way."""

YES_OR_NO = ForcedChoice("yes-or-no", 1 / 2, without_d_prime=TWO_RATES)
"""Servings of two kinds, equally many, each called one or the other."""

TRIANGLE_ODD_KNOWN = ForcedChoice("triangle-odd-known", 1 / 3, without_d_prime=ODD_KNOWN)
"""A triangle whose taster knows which sample is odd, though not where it stands."""

TWO_OF_FIVE = ForcedChoice("two-out-of-five", 1 / 10, without_d_prime=GROUPING_UNKNOWN)
"""Five cups, two of one sample and three of the other: which two; no rule of grouping supposed."""

TWO_OF_FIVE_SPECIFIED = ForcedChoice(
    "two-out-of-five-specified",
    1 / 10,
    curves.two_of_five_specified,
    curves.two_of_five_specified_slope,
)
"""Five cups, two of them stronger in a named way: which two."""

TWO_OF_FIVE_WIDEST_GAP = ForcedChoice(
    "two-out-of-five-widest-gap",
    1 / 10,
    curves.two_of_five_widest_gap,
    curves.two_of_five_widest_gap_slope,
)
"""Two out of five by one rule: the five percepts, in order, are split at the wider of the two
gaps that leave a pair and a trio, and the pair is named."""
