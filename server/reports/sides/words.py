"""Sentences of a finding in which answers lean to a sample or not; `{names}` are filled in.

They never grade a sample, and never speak of noticing where people were asked what they like.
"""

from server.reports.verdicts import Verdict

_LEAN = "{Success} in {k} of {servings}: the answers lean one way"

HEADLINES = {
    Verdict.LEANS: _LEAN + ".",
    Verdict.LEANS_NEARLY_MATCHED: _LEAN + ", but {rivals} only nearly matched and may be why.",
    Verdict.LEANS_NOT_MATCHED: _LEAN + ", but {rivals} not matched: a rival cause.",
    Verdict.LEANS_NOT_MEASURED: (
        _LEAN + ", but {rivals} not measured in every brew and may be why."
    ),
    Verdict.LEANS_POTS: "The answers lean to one of two pots, not of two samples.",
    Verdict.NO_LEAN: (
        "No lean shown: {k} answers for “{lead}” and {rest} for “{other}” may be chance."
    ),
    Verdict.INCONCLUSIVE_WEAK: (
        "Inconclusive: {miss} such tests would miss a lean of the size that matters."
    ),
    Verdict.INCONCLUSIVE_OUT_OF_REACH: (
        "Inconclusive: {answers} could not reach the planned level, even if all went one way."
    ),
}
SERVINGS = {
    "forced": "{n} servings",
    "left_out": "{n} servings with a preference",
    "split_evenly": "{n} servings, half of those without a preference counted in",
}
NOBODY_CHOSE = "Not estimable: nobody named either sample."

# What may be said

FOUND = (
    "In these brews {success} in {k}, “{other}” in {rest} of {servings}; "
    "an even split is about {expected} each."
)
BY_CHANCE = (
    "If neither were ahead, a split at least as uneven, whichever way, "
    "would come up in {chance} such tests."
)
POTS = "One pot was chosen more often than another: all cups of a sample came from one brew."
NO_LEAN = "No lean was shown at the planned level in these brews."
NOT_REACHED = (
    "{k} of {n} answers were for “{lead}”; {critical} or more for either of them were needed."
)
HAD_POWER = (
    "On paper the test had a chance of {power} to find the size that matters "
    "({size} of answers for one sample)."
)
LEAD = (
    "{k} of {n} answers were for “{lead}” and {rest} for “{other}”: "
    "a lead for a new test, not a finding."
)

# What may not be said

NOT_QUALITY = "Anything about quality: a choice is no grade."
NOT_HOW_MUCH = "How much more of it “{lead}” has, or that “{other}” has none."
NOT_WHY = "Why the answers went that way."
NOT_TOLD_APART = (
    "That those who did not choose “{lead}” could tell the two apart, or could not: "
    "a preference says nothing of it."
)
NOT_EVERYBODY = "That drinkers in general, or any share of customers, would choose likewise."
NOT_AS_MUCH = "That the two have equally much of it."
NOT_INDIFFERENT = (
    "That people do not care: half and half may be two groups that want opposite things."
)
NOT_ALIKE = "That the two taste alike."
NOT_A_FINDING = "That one of them is ahead, or that neither is."

# Limits

LEFT_OUT = (
    "{count} for neither sample and {are} left out, as planned: "
    "the test is about the answers that named one."
)
SPLIT = (
    "{count} for neither sample and {are} split evenly, as planned: the test is about all answers. "
    "Halves scatter less than choices, so the p shown is at least as large as it should be."
)
SPLIT_ODD = "Their number was odd: the last one counts for the sample that is behind."
FORCED = "Everybody had to choose: whoever likes neither more took one of the cups all the same."
GO_WITH = (
    "Shares from {low} to {high} of answers for “{lead}” go with these answers ({level} limits)."
)

# Next steps

NEXT_WHY = "Ask what it is that is liked: name one attribute and test it directly."
NEXT_GROUPS = (
    "Let everybody choose several times: two groups that want opposite things stay with "
    "their choices, people without a wish change them."
)
NEXT_APART = "Find out whether the two can be told apart at all, in a triangle test."
