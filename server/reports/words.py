"""Every sentence of a finding, in one place; `{names}` are filled in by the modules beside it.

The sentences never claim more than a forced-choice test can: not a cause, not a
direction, not an absence. Labels and reasons typed by people are quoted “so”.
"""

from server.reports import brew_pick_words
from server.reports.blindness import Cap
from server.reports.reliance import (
    ABANDONED,
    CHAIN_BROKEN,
    CONTRADICTED,
    CUES,
    EXTENDS,
    NOT_BLIND,
    NOT_UNSEALED,
    RESULTS_LOOK,
    SEAL_MISMATCH,
    STOPPED_AFTER_KEY_LOOK,
    STOPPED_KNOWING,
)
from server.reports.verdicts import Verdict

PANEL = "this panel"
ONE_TASTER = "this one taster"

HEADLINES = {
    Verdict.TOLD_APART: "{Who} told “{a}” and “{b}” apart in these brews.",
    Verdict.TOLD_APART_NEARLY_MATCHED: (
        "{Who} told “{a}” and “{b}” apart, but {rivals} only nearly matched and may be why."
    ),
    Verdict.TOLD_APART_NOT_MATCHED: (
        "{Who} told “{a}” and “{b}” apart, but {rivals} not matched: a rival cause."
    ),
    Verdict.TOLD_APART_NOT_MEASURED: (
        "{Who} told “{a}” and “{b}” apart, but {rivals} not measured in every brew and may be why."
    ),
    Verdict.TOLD_APART_BREWS: (
        "{Who} told “{a}” and “{b}” apart, and two brews of “{a}” as well: "
        "brew-to-brew differences alone are noticeable."
    ),
    Verdict.TOLD_APART_POTS: "{Who} told two pots apart, not two samples.",
    Verdict.TOLD_APART_ONE_BREW: brew_pick_words.HEADLINE,
    Verdict.NOT_DETECTED: (
        "Not detected: {k} of {n} answers were right, while the positive control was noticed."
    ),
    Verdict.INCONCLUSIVE_WEAK: (
        "Inconclusive: {miss} such tests would miss a difference of the size that matters."
    ),
    Verdict.INCONCLUSIVE_UNSHOWN: (
        "Inconclusive: not detected, and nothing showed that {who} notices "
        "a small known difference."
    ),
    Verdict.INCONCLUSIVE_CONTROL_MISSED: (
        "Inconclusive: not detected, but a small known difference was missed as well."
    ),
    Verdict.INCONCLUSIVE_CONTROL_SMALL: (
        "Inconclusive: not detected, and the positive control was too small to tell "
        "whether {who} notices a small known difference."
    ),
    Verdict.INCONCLUSIVE_OUT_OF_REACH: (
        "Inconclusive: {answers} could not reach the planned level, even if all were right."
    ),
    Verdict.BELOW_GUESSING: ("Not estimable: below guessing; check key and trays."),
    Verdict.EXPLORATORY: "Exploratory only: {reason}",
    Verdict.ABANDONED: "Abandoned: there is no finding.",
    Verdict.NO_ANSWERS: "Not estimable: no answer counts.",
}

EXPLORATORY_REASONS = {
    ABANDONED: "the tasting was abandoned.",
    SEAL_MISMATCH: "the sealed text does not match the published seal.",
    CHAIN_BROKEN: "the record of events does not follow from the seal.",
    RESULTS_LOOK: "somebody looked at the results before the tasting was closed.",
    STOPPED_AFTER_KEY_LOOK: (
        "the tasting stopped short of its plan after somebody had looked at the key."
    ),
    NOT_BLIND: "the tasting was open: somebody who tasted could know which cup was which.",
    STOPPED_KNOWING: (
        "the tasting stopped short of its plan when marks had been turned "
        "and a part of the result was known."
    ),
    CUES: (
        "without the answers that named something other than smell and taste, "
        "the planned level is not reached."
    ),
    EXTENDS: (
        "it was planned when the result of an earlier tasting of this question was known "
        "(seal {seal})."
    ),
    CONTRADICTED: (
        "answers were taken out or changed after the plan had been asked whether to go on, "
        "and those that count would have said something else."
    ),
    NOT_UNSEALED: "the numbers were worked out before the tasting was unsealed.",
}

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

# Limits

DEPENDS = "The outcome depends on what is counted: see the other ways to count below."
INCOMPLETE = "Incomplete: {reached} of {planned} planned answers count. Reason given: {reason}."
STILL_VALID = (
    "Nobody had looked at key or results, so the exact p holds for {reached} answers; "
    "the chance to find the size that matters is {power} instead of {power_planned}."
)
INCOMPLETE_ALONE = (
    "Incomplete: {reached} of {planned} planned answers count; of the others a mark was lost."
)
STILL_VALID_ALONE = (
    "No result decided how many servings there were, so the exact p holds for {reached} answers; "
    "the chance to find the size that matters is {power} instead of {power_planned}."
)
MORE = "{reached} answers count where {planned} were planned."
SPARE = "In spare seats {persons} gave {answers}, counted with the others."
STILL_ALLOWED = {
    False: (
        "If the difference were noticed in more than {upper} of judgements, so few right answers "
        "would come up in fewer than {risk} such tests. This was not planned as a similarity test."
    ),
    True: (
        "If more than {upper} of such tasters noticed the difference, so few right answers "
        "would come up in fewer than {risk} such tests. This was not planned as a similarity test."
    ),
}
NOT_ESTIMABLE = "Share and d′ are not estimable: below guessing; check key and trays."
TWO_SIDED_TOUCHES = (
    "The limits of the share begin at 0% although p reaches the planned level: "
    "the test is one-sided, the limits are two-sided."
)
NO_POSITIVE = (
    "No positive control was served: whether {who} notices a small known difference is not known."
)
NULL_POINTLESS = (
    "No null control was served: where every cup is a brew of its own, brews that differ by "
    "chance point to no cup."
)
NO_NULL = (
    "No null control was served (two brews of one sample against each other): "
    "how noticeable differences between brews are is not known."
)
NULL_EMPTY = (
    "A null control was planned, but no answer of it counts: "
    "how noticeable differences between brews are is not known."
)
NULL_LEAD = "In the null control (two brews of “{a}”) {k} of {n} answers were right: a lead too."
NULL_NOTICED = (
    "The null control was noticed: with two brews of “{a}” {k} of {n} answers were right, "
    "so brews alone make a noticeable difference."
)
NULL_MISSED = (
    "In the null control (two brews of “{a}”) {k} of {n} answers were right: "
    "not noticed at the planned level."
)
NULL_ALLOWS = "That up to {upper} of judgements notice brews alone is not excluded."
NULL_BELOW = "That is fewer than guessing gives; check key and trays."
NULL_FEW = "But {answers} could not have reached that level, even if all were right."
NULL_AGAINST_TEST = (
    "The share right of the test less that of the null control is {difference} "
    "(two-sided {level} limits {low} to {high}, every answer counted as independent): {allows}"
)
NULL_EXCEEDED = "the samples were told apart more often than two brews were."
NULL_NOT_EXCEEDED = "that the samples are told apart no more often than two brews is not excluded."
NULL_ABOVE_TEST = "two brews were told apart more often than the samples were; check key and trays."
LIMITS_RIGHT = "{level} limits of the share right {low} to {high}"
POSITIVE_EMPTY = (
    "A positive control was planned, but no answer of it counts: "
    "whether {who} notices a small known difference is not known."
)
POSITIVE_LEAD = "In the positive control (“{label}”) {k} of {n} answers were right: a lead too."
POSITIVE_PASSED = (
    "The positive control (“{label}”) was noticed: {k} of {n} answers were right; "
    "the chance to find its declared size ({size} noticing) was {power}."
)
POSITIVE_MISSED = (
    "The positive control (“{label}”) was missed: {k} of {n} answers were right, "
    "although the chance to find its declared size ({size} noticing) was {power}."
)
POSITIVE_SMALL = (
    "The positive control (“{label}”) was too small to tell: {k} of {n} answers were right "
    "({limits}); the chance to find its declared size ({size} noticing) was {power}, "
    "less than {needed}, and nothing is concluded from it."
)
LIKE_CUPS = (
    "The like cups of every serving came from different brews, "
    "so a difference between pots does not by itself point to the right answer."
)
EACH_CUP = (
    "Every cup was a brew of its own: no two cups shared a pot. How long each stood before its "
    "sip was not compared."
)
SAMPLED = "Not every cup was read: {counts}. The match speaks of these; the others stay unread."
SAMPLED_ONE = "{property} of {read} of {brews} of “{label}”"
BLENDS = "Every pour was a blend of at least two brews, which evens out single pots."
SHARED_POTS = (
    "In {servings} the like cups came from one pot: pots, not samples, may have been told apart."
)
BREWS = (
    "Behind the answers stand so many brews: {brews}. "
    "A chance difference between these brews stays possible."
)
PROPERTY = {
    "not matched": (
        "{Name} was not matched: samples differed by {worst}, the planned limit is {limit}."
    ),
    "borderline": (
        "{Name} was only nearly matched: samples differed by {worst}, the planned limit is {limit}."
    ),
    "not measured": "{Name} was not measured in every brew served, so it stays a possible cause.",
    "mixed": (
        "{Name} was read in different ways, which do not compare, so it stays a possible cause."
    ),
}
REPLICATES = (
    "{persons} gave {answers}: the intervals describe this panel on these brews and nobody else."
)
ONE_PERSON = "One taster: the intervals describe this person on these brews and nobody else."
SHUFFLED = (
    "One person poured, shuffled and tasted: the shuffle alone kept the cups apart, "
    "and nobody else saw it."
)
SHORT_SHUFFLES = "In {servings} the shuffle was shorter than {seconds} seconds."
UNTIMED_SHUFFLES = "In {servings} nobody timed the shuffle."
NO_SHUFFLE = "For {servings} no shuffle is on record."
NOT_COVERED = "In sitting {sittings} nobody noted that the marks were covered."
ODD_KNOWN = (
    "Whoever pours a triad knows which sample is the odd one. "
    "Guessing still finds it in one of three servings and p holds, but there is no d′."
)
ODD_AND_DIRECTION_KNOWN = (
    "Which sample was odd, and that “{more}” should have more of it (“{attribute}”), "
    "was known: the answers are read as those of a 3-AFC test."
)
ONE_EACH = (
    "One answer a person: the intervals speak of people like these, tasting brews like these."
)
UNEVEN_ORDERS = "Serving orders were uneven among the answers that count: {orders}."
ORDERS_FELL = "Serving orders are those that the shuffling let fall: {orders}."
POURER_PRESENT = "Whoever poured stayed in the room and may have hinted without meaning to."
CALLS_OPEN = "At {servings} the codes differed from the screen, and this was never settled."
PIECE = (
    "Pieces were not recorded one by one: "
    "this speaks of the pieces used, never of a material or a make."
)
NOT_RECORDED = (
    "Not recorded: {unjudged}fill and looks of each single cup."  # what the plan judges is left out
)
UNJUDGED = {"extraction": "extraction", "time since brewing": "time from brewing to sipping"}
CHECKS = {
    "silent": "silence at the table",
    "out_of_sight": "pouring out of sight",
    "roaster_off": "roaster off",
    "no_smell": "no smell in the room",
}
UNCHECKED = "Not ticked off in the room: {items}."
NO_LOOK_CHECK = "Nobody tried whether an odd cup can be found by looking."
LOOKED_ONLY = {
    False: "By looking alone {k} of {n} odd cups were found before sealing.",
    True: (
        "By looking alone {k} of {n} odd cups were found before sealing: "
        "looks may have given cups away."
    ),
}
LOOK_CUE = " What the looker named: {cue}."
NO_CUES = "Asked whether anything but smell and taste told them, {asked} named nothing."
CUES_NAMED = (
    "Asked whether anything but smell and taste told them, {named} of {asked} named something: "
    "{cues}."
)
CUE_RIGHT = {True: " (right)", False: " (wrong)", None: ""}
CUES_PARTLY = "For {answers} nobody asked whether anything but smell and taste told them."
NO_CUE_QUESTION = "Nobody was asked whether anything but smell and taste gave a cup away."
NO_COMPLIANCE = "A tasting result is not a compliance test."

# Amendments and exclusions

STRUCK = "{servings} struck off before the first serving ({reasons})."
STRUCK_TESTS = "That left {planned} planned answers of the test instead of {all}."
STRUCK_LATE = "{servings} struck off after serving had begun, without effect on what was planned."
VOIDED = "Round {round}: a serving was taken out ({reason}); {answered}, {replaced}."
VOID_ANSWERED = {True: "its answer does not count", False: "it had no answer"}
VOID_REPLACED = {True: "a spare serving took its place", False: "nothing took its place"}
CONTESTS_SETTLED = (
    "{servings} had two different answers; which one counts was settled before unsealing."
)
CONTESTS_VOID = (
    "{servings} had two different answers and nobody could say which holds; none counts."
)
LATE = "{answers} came after closing and before unsealing; outside the main analysis."
LATE_UNUSED = (
    "{answers} came after closing for servings already answered or taken out; not counted."
)
LATE_AFTER = "{answers} came after unsealing; kept, never counted."
ERASED = "The text of {records} was erased, {answers} among them; erased answers do not count."
LOST = {
    True: "One mark was lost: its answer cannot be judged, and is not counted.",
    False: "Marks of {servings} were lost: their answers cannot be judged, and are not counted.",
}
CORRECTED = (
    "The marks of sitting {sittings} were corrected; the last ones count, all are on record."
)
PHOTOS = "Of sitting {sittings} a photo of the turned cups is on record."
CALLS = "At {servings} the codes in front of the taster differed from the screen."
PAPER = "{answers} came in on paper."
UNCONFIRMED = "For {answers} nobody confirmed the codes on the cups."
READINGS_LATE = "{readings} came in after unsealing."
IGNORED = "{changes} came after unsealing, without effect on what counts."
LOOKED = {
    "key_looked": "{When} somebody looked at the key ({who}; {reason}).",
    "results_looked": "{When} somebody looked at the results ({reason}).",
}
LOOK_WHEN = {True: "Before closing,", False: "After closing,"}
LOOK_WHO = {
    "taster": "somebody who tastes",
    "present": "somebody present",
    "away": "somebody who was away",
}

# Next steps

NEXT_NULL = (
    "Serve a null control beside the test: two brews of one sample, to see what brews alone do."
)
NEXT_NULL_ALONE = (
    "With a helper who pours, serve a null control beside the test: two brews of one sample, "
    "to see what brews alone do."
)
NEXT_NULL_PAIR = (
    "Set two brews of one sample against each other in a triangle test, to see what brews alone do."
)
NEXT_DIRECTION = "Ask what differs: name one attribute and test it directly."
NEXT_DIRECTION_THEN = "Then ask what differs: name one attribute and test it directly."
NEXT_STATES = "Repeat with the part in other states: new, washed, after some brews."
NEXT_MATCH = "Bring {rivals} within the planned limit and repeat."
NEXT_MEASURE = "Measure {rivals} in every brew and repeat."
NEXT_BREWS = (
    "Brew each sample at least twice a round, pour like cups from different brews, and repeat."
)
NEXT_LOOKS = (
    "Make the cups look alike (lids, opaque cups, dim or coloured light), "
    "try again by looking alone, and repeat."
)
NEXT_BLEND = "Make more brews of each sample, pour every cup from a blend of them, and repeat."
NEXT_LARGER_BLEND = "Blend more brews for every pour, brew them more alike, and repeat."
NEXT_ENOUGH = (
    "Decide whether a share up to {upper} is small enough; "
    "if it is not, plan a test for a smaller one, with more answers."
)
NEXT_SMALLER = "If a smaller size matters, plan a test for it, with more answers."
NEXT_POSITIVE_MORE = (
    "Give the positive control at least {trials} answers "
    "for a lasting chance of {power} at its declared size, or make it larger."
)
NEXT_POSITIVE_LARGER = "Make the known difference of the positive control larger."
NEXT_POSITIVE_MISSED = (
    "Find out why a known difference was missed (wrong cups, tired palates, a noisy room, "
    "a declared size that was too large) before anything else."
)
NEXT_POSITIVE = (
    "Serve a positive control: a small known difference, such as 10 to 15 % water added to one cup."
)
NEXT_POSITIVE_ALONE = (
    "With a helper who pours, serve a positive control: a small known difference, "
    "such as 10 to 15 % water added to one cup."
)
NEXT_POSITIVE_PAIR = (
    "In a triangle test, find out whether a small known difference is noticed, "
    "such as 10 to 15 % water added to one cup."
)
NEXT_TRIALS = (
    "Plan at least {trials} answers for a lasting chance of {power} at the size that matters."
)
NEXT_TOO_SMALL = (
    "A difference that small needs more answers than can be planned; ask about a larger one."
)
NEXT_PANEL = "Ask a panel if other people matter."
NEXT_CHECK = "Check key and trays: were cups swapped or codes mixed up? Then repeat."
NEXT_AGAIN = "Seal a new tasting, and keep key and results closed until the end."
NEXT_AGAIN_ALONE = (
    "Seal a new tasting with all its sittings planned beforehand, and taste every one of them."
)
NEXT_CUES = (
    "Mend what gave cups away ({cues}): cups, fill and lids alike, placed unseen. Then repeat."
)
NEXT_SEAL = "Find out why seal and record do not fit before anything else."
NEXT_UNSEAL = "Close and unseal the tasting, then read the finding."

# The next plan

REPAIR_POURER = "Let somebody pour who does not taste and leaves before the first sip."
REPAIR_KEY = "Keep the key from everybody who tastes until the tasting is closed."
REPAIR_POTS = "Pour the like cups of a serving from different brews, not from one pot."
REPAIR_BLEND = "Two brews of one sample were told apart: pour every cup from a blend of brews."
REPAIR_MATCH = "First bring {rivals} within the planned limit, then serve."
REPAIR_GAPS = "The plan was large enough: collect every planned answer before closing."
REPAIR_SITTINGS = (
    "Even {most} answers in one go fall short of {trials}: "
    "plan several tastings, or ask about a larger difference."
)
REPAIR_MORE_SITTINGS = (
    "Even {most} answers in {sittings} sittings fall short of {trials}: "
    "ask about a larger difference, or let a panel taste."
)
REPAIR_POSITIVE = (
    "Serve a positive control, so that a miss can be told from a test that finds nothing."
)
REPAIR_NULL = "Serve a null control, to see what two brews of one sample do."
REPAIR_LABEL = "“{a}” with 12 % water added"

# Blinding

LEVELS = {
    0: "open",
    1: "solo, shuffled",
    2: "single blind, pourer present",
    3: "single blind, pourer absent",
    4: "double blind",
}
POURERS = {
    "taster": "somebody who tastes pours",
    "alone": "one person pours, shuffles unseen and tastes; the truth lies under the cups",
    "present": "the pourer does not taste and stays in the room",
    "absent": "the pourer does not taste and leaves before the first sip",
    "relay": "one person fills the cups, another who knows only codes serves them",
}
CAPS = {
    "planned": "Planned: {who}.",
    "closing": "As done: {who}.",
    "key_look": "Before closing the key was seen by {who}: level {level} at most.",
}


def say_cap(cap: Cap) -> str:
    """Say what one cap on the blinding level is."""
    who = LOOK_WHO if cap.cause == "key_look" else POURERS
    return CAPS[cap.cause].format(who=who.get(cap.who, cap.who), level=cap.level)


# Seal

SEAL_HOLDS = "✔ The seal matches."
SEAL_FAILS = "✘ The seal does not match."
CHAIN_FAILS = "✘ The record of events does not follow from the seal."
SEAL_OPEN = "The seal has not been opened yet."


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
