"""Sentences where servings of two kinds are called one or the other; `{names}` are filled in.

Each stands in place of a sentence about right answers among so many.
"""

from server.reports import claim_words, limit_words, next_words

FOUND = {
    "a-not-a": (
        "In these brews “{a}”, the open A, was called A in {hits} of {firsts} cups, "
        "“{b}” in {alarms} of {seconds}."
    ),
    "same-different": (
        "In these brews pairs of one sample were called alike in {hits} of {firsts} servings, "
        "pairs of both in {alarms} of {seconds}."
    ),
}
BY_GUESSING = (
    "If answers had nothing to do with what stood there, so many of them would fit it "
    "in {chance} such tests."
)
NOT_REACHED = (
    "{k} of {n} answers were right; within each taster’s own answers that comes up "
    "in {chance} such tests by guessing."
)
LIKE_CUPS = {
    "a-not-a": (
        "Cups of each sample came from several brews: where they are few, "
        "pots may be told apart instead of samples."
    ),
    "same-different": limit_words.LIKE_CUPS,
}
INSTEAD = {
    claim_words.BY_GUESSING: BY_GUESSING,
    claim_words.NOT_REACHED: NOT_REACHED,
    next_words.NEXT_NULL: next_words.NEXT_NULL_PAIR,
    next_words.NEXT_POSITIVE: next_words.NEXT_POSITIVE_PAIR,
}
NO_NULL = {
    "a-not-a": limit_words.NO_NULL,
    "same-different": (
        "Pairs of one sample came from two brews or one blend: "
        "what brews alone do shows in how often these were called different."
    ),
}
BY_METHOD = {
    claim_words.FOUND: FOUND,
    limit_words.LIKE_CUPS: LIKE_CUPS,
    limit_words.NO_NULL: NO_NULL,
}
OF_LOOKS = {limit_words.NO_LOOK_CHECK, *limit_words.LOOKED_ONLY.values()}
"""What is said of pairs of unlike cups holds of any serving without an odd one."""

# Limits

WITHIN = (
    "The exact p compares answers within whole sets of servings of one taster: who says yes more "
    "readily than others does no harm. Limits of rates and of d′ take all answers as independent."
)
REVERSED = {
    "a-not-a": "“{b}” was called A more often than “{a}”: by chance, or because the key is turned.",
    "same-different": (
        "Pairs of one sample were called alike less often than pairs of both: "
        "by chance, or because the key is turned."
    ),
}
TOLD = "Everybody was told that half of the servings were of either kind."
NOT_TOLD = "Nobody was told how many servings there were of either kind."
OPEN = {
    "A": "Before the first code everybody tasted “{a}” openly; that brew is not on record.",
    "AB": "Before the first code everybody tasted both openly; those brews are not on record.",
}
