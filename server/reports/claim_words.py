"""What may and what may not be said after a finding; `claims` fills in `{names}`."""

# What may be said

FOUND = "In these brews {success} in {k} of {n} servings; guessing gives about {expected}."
BY_GUESSING = "By guessing alone, {k} or more of {n} right come up in {chance} such tests."
I_COULD = "“I could tell them apart in these conditions.”"
PANEL_COULD = "“This panel could tell them apart in these brews.”"
RIVAL = "Told apart; {rivals} a rival cause."
BREWS_ALONE = "Brew-to-brew differences alone are noticeable."
BOTH_FOUND = (
    "In the test {success} in {k} of {n} servings, "
    "and in {null_k} of {null_n} servings of two brews of “{a}”."
)
POTS = "Two pots were told apart: like cups of one serving came from one pot."
NOT_REACHED = "{k} of {n} answers were right; {critical} were needed at the planned level."
NOT_DETECTED = "Not detected at the planned level in these brews."
HAD_POWER = (
    "On paper the test had a chance of {power} to find the size that matters ({size} noticing)."
)
I_HAVE_NOT = "“I have not shown that I can tell them apart in these conditions.”"
LEAD = "{k} of {n} answers were right: a lead for a new test, not a finding."
BELOW = "Right answers were fewer than guessing gives; usual causes: a wrong key or swapped trays."
AS_NAMED = "“{more}” was taken for the one with more of it: “{attribute}”."
ONLY_RECORD = "{reached} of {planned} planned answers are on record."

# What may not be said

NOT_WHY = "Why they differ, how strongly, or which is better or worse."
NOT_THE_PART = "That a part, its material or its maker caused it."
NOT_A_PART = "That a part, its material or its maker had any effect."
NOT_SAMPLES_BREWS = "That the samples differ by more than two brews of one sample do."
NOT_OTHERS = "That drinkers in general, or any share of customers, would notice."
NOT_PEOPLE = "Anything about other people or customers."
NOT_BUT_RIVAL = "That anything but {rivals} made them differ."
NOT_SAMPLES = "That the samples differ: two pots may differ by chance."
NOT_ALIKE = "That the two taste alike."
NOT_NOBODY = "That nobody would notice."
NOT_CLEAN = "That the part leaves no taste."
NOT_AS_PLANNED = "The p-value as if the test had gone as planned."
NOT_POOLED = "That these answers and those of the earlier tasting add up."
NOT_A_FINDING = "That they can or cannot be told apart."
NOT_NEGATIVE = "That the tasters noticed the opposite, or that they noticed nothing."
NOTHING = "Anything about the samples."
