"""What limits a finding; the modules beside it fill in `{names}`."""

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
SAMPLED = (
    "Not every cup was read: {counts}. The match speaks of these, if they are three or more of "
    "each sample; the others stay unread."
)
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
