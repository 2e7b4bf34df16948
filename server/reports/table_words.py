"""Every sentence of a scored table's finding; `{names}` are filled in by the modules beside it.

They claim no more than scores of one panel can show: not a cause, not that samples are
alike, not that anything is fit to drink. Labels typed by people are quoted “so”.
"""

from server.brewing.match import Verdict as Match
from server.reports.table_verdicts import Advice, Reason, TableVerdict

HEADLINES = {
    TableVerdict.DIFFER: "This panel scored the samples apart in {question} ({p}).",
    TableVerdict.DIFFER_NEARLY_MATCHED: (
        "This panel scored the samples apart in {question} ({p}), but {rivals} only nearly matched "
        "and may be why."
    ),
    TableVerdict.DIFFER_NOT_MATCHED: (
        "This panel scored the samples apart in {question} ({p}), but {rivals} not matched: a "
        "rival cause."
    ),
    TableVerdict.DIFFER_NOT_MEASURED: (
        "This panel scored the samples apart in {question} ({p}), but {rivals} not measured in "
        "every brew and may be why."
    ),
    TableVerdict.DIFFER_BOWLS: (
        "This panel scored the bowls apart in {question} ({p}); whether the samples differ "
        "is not known."
    ),
    TableVerdict.NOT_SHOWN: "The scores do not show that the samples differ in {question} ({p}).",
    TableVerdict.NOT_TESTABLE: (
        "Not enough to tell: {question} was declared to count, and cannot be tested."
    ),
    TableVerdict.LEADS: "Leads only: no question was declared beforehand; {leads} stood out.",
    TableVerdict.NO_LEADS: (
        "No question was declared beforehand, and in none did the samples stand apart."
    ),
    TableVerdict.EXPLORATORY: "Exploratory only: {reason}",
    TableVerdict.ABANDONED: "Abandoned: there is no finding.",
    TableVerdict.NO_ANSWERS: "Not estimable: no sheet counts.",
}

DIFFER_TITLE = "Do they differ?"
DISAGREE_TITLE = "Who disagrees?"
DECIDE_TITLE = "Decide, or taste again?"

# Do they differ?

PAIRS_APART = "Told apart, all pairs together at {level}: {pairs}."
PAIRS_NONE = "Which of them differ cannot be told: no single pair stands apart at {level}."
PAIR = "“{one}” above “{other}”"
HIGHEST = "Highest on average: “{high}” ({high_mean}); lowest: “{low}” ({low_mean})."
UNSEEN = "Two samples that differ by less than {hsd} points would often go unseen with this panel."
OTHER_FINDINGS = "Also beyond chance, judged after the declared question, together: {names}."
LEADS = "Leads, not findings, each worth a test of its own: {names}."
UNDECLARED = (
    "With {questions} tested and no real difference in any, about {expected} would stand out by "
    "chance at {alpha}."
)
FLAGGED = "“{sample}”: {bad} of {cups} flagged ({question})."
FLAGGED_NONE = "No cup was flagged."
ODD_BOWL = (
    "A {noun} stands apart: {bowl} of “{sample}”, {distance} points {side} the others of its "
    "sample in {question} (chance {p}, adjusted for {looks}){also}."
)
ALSO = ", and in {questions}"
OWN_WORDS = (
    "By words of their own {people} have {ratio} in common; by chance alone {chance} on average "
    "({p}): {told}."
)
OWN_BEYOND = {
    True: "they tell the samples apart alike, see the map among more analyses",
    False: "read nothing into it",
}
ODD_BOWL_LEAD = (
    "Perhaps a bowl stands apart: {bowl} of “{sample}” in {question}; with so many questions "
    "chance may explain it."
)
BOWLS_ALIKE = "{bowls} were looked at: none stands apart from the others of its sample."
BOWL, POT = "bowl", "pot"
REFERENCE = "Against the house reference “{reference}”: {told}."
REFERENCE_APART = "“{sample}” stands {side} it"
REFERENCE_NONE = "no sample stands apart from it in {question}"
ABOVE, BELOW = "above", "below"

# Who disagrees?

NOBODY = "Nobody goes against the rest of the panel more than chance would explain."
AGAINST = "{who} goes against the rest in {questions} (r = {r} on {samples})."
AGAINST_PRIMARY = "Result with everybody: {all}. Without {who}: {rest}."
AGAINST_WHAT_TO_DO = (
    "Talk about it, drop nobody: a scale may have been read the other way round, or somebody may "
    "have tasted what the others missed."
)
AGAINST_BY_CHANCE = (
    "{looks} were looked at; about {expected} would be named by chance alone at {alpha}."
)
TOO_FEW = "With {people} nobody can be said to go against the rest."
NO_NUMBERS = "No question has numbers: agreement is not measured."

# Decide, or taste again?

ADVICE = {
    Advice.DECIDE: "The answers are enough to decide on; deciding is up to you.",
    Advice.DISCUSS: "Talk first, then decide: the answers hold, but not everybody agrees.",
    Advice.RETASTE: "Rather taste again before you decide.",
}
REASONS = {
    Reason.EXPLORATORY: "The numbers are not those of the planned analysis: a lead at most.",
    Reason.NOTHING: "There is nothing to decide on.",
    Reason.NOT_TESTABLE: (
        "The declared question has too few values to be tested: more people, or each sample twice."
    ),
    Reason.NOT_SHOWN: (
        "Smaller differences may have gone unseen. If they matter, more people or more cups a "
        "sample see more."
    ),
    Reason.UNDECLARED: "Declare beforehand which question counts, and taste again.",
    Reason.SINGLE: (
        "Every sample stood in one bowl or came from one pot: brew each of them more than once."
    ),
    Reason.ODD_BOWL: "Bowl {about} stands apart: find out why, and pour that sample afresh.",
    Reason.READINGS: "The outcome depends on which answers count: see the ways to count.",
    Reason.HANGS: "The outcome depends on {about} alone.",
    Reason.FEW: "Two people are no panel: at least three are needed to see who disagrees.",
    Reason.AGAINST: "{About} goes against the rest.",
    Reason.NOT_MATCHED: (
        "{About} not matched: bring the brews within the planned limit, and taste again."
    ),
    Reason.NEARLY_MATCHED: "{About} only nearly matched: a part of the difference may be that.",
    Reason.NOT_MEASURED: (
        "{About} not measured in every brew: decide on what was poured, not on why it differs."
    ),
}

# What may not be said

MAY_NOT_SAY = (
    "That samples not told apart are alike.",
    "Why they differ, or that a part, a roast or a maker is the cause.",
    "That drinkers in general would notice, or like one more: this panel stands for itself.",
    "That anything is fit to drink: flags and scores are no test of that.",
)
LIKING = "Liking by so few people says nothing of what drinkers like."

# Limits

INCOMPLETE = "Incomplete: {answered} of {planned} count. Reason given: {reason}."
MISSING = "{missing} of {places} are empty; an empty place is left out, never a number."
REFUSED = "{refused} could not be read by the sheet, and were left out."
SINGLE = "Every sample stood in one bowl or came from one pot: a bowl is taken for its sample."
SMALL = "A small panel: limits are wide, and one person weighs much."
SITTINGS = "Sittings are averaged over; a change from one to the next would show as disagreement."
OWN_CUPS_FLAGS = "Cups with a flag count one by one, though several come from one pot."
BLOCKS = "Nobody tasted all samples: means are adjusted for who tasted which."
PROPERTY = {
    Match.NOT_MATCHED: (
        "{Name} was not matched: “{one}” and “{other}” differed by up to {worst}, the planned "
        "limit is {limit}."
    ),
    Match.BORDERLINE: (
        "{Name} was only nearly matched: “{one}” and “{other}” differed by up to {worst}, the "
        "planned limit is {limit}."
    ),
}
UNREAD = "{Names} not measured in every brew served, and so may be a cause."
OPEN_BOWL_SKIPPED = (
    "An open bowl to calibrate on, {what}, was planned; before {sittings} nobody noted it. Words "
    "and scales may have been used by each in their own way."
)
OPEN_BOWL_LATE = (
    "The open bowl of {sittings} was noted when codes stood before somebody already: scores may "
    "know of the talk."
)
OPEN_BOWL_SITTINGS = {False: "sitting {sittings}", True: "sittings {sittings}"}
OPEN = "Somebody who tasted could know which cup was which."

# Numbers

NUMBERS = {
    "sheets": "Sheets that count",
    "people": "People",
    "samples": "Samples",
    "declared": "Question declared to count",
    "f": "F of the samples",
    "p": "p",
    "method": "Analysis",
    "control": "Blind control, mean score",
    "least": "Rank sums apart, all pairs together",
    "least_pair": "Rank sums apart, one pair named beforehand",
    "interaction": "Assessor by sample, p",
    "missing": "Empty places",
    "open_bowl": "Open bowl before the codes, never scored",
}
METHODS = {
    "anova": "analysis of variance, samples over assessor by sample",
    "reml": "mixed model (REML), assessors random",
    "bowls": "mixed model (REML), assessors and bowls random",
}
NONE_DECLARED = "none"
OPEN_BOWL = "{what}: {done}"
OPEN_BOWL_DONE = "tasted before sitting {sitting}"
OPEN_BOWL_SEATS = " (seats {seats})"
OPEN_BOWL_NONE = "planned, not noted as done"
FREEDOM = "{f} on {one} and {other} degrees of freedom"
COUNTED_OF = "{answered} of {planned}"

READINGS = {
    "planned": "As planned",
    "contested_first": "Contested sheets: the first one",
    "contested_last": "Contested sheets: the last one",
    "late": "Late sheets too",
    "voided": "Voided sheets instead of their spares",
    "without": "Without {who}",
}
REACHED = {True: "reaches {alpha}", False: "does not reach {alpha}"}
READ_LEADS = "{passed} of all questions reach {alpha}"

# Tables

QUESTIONS_TITLE = "Every question"
QUESTIONS_HEAD = ("Question", "Test", "p", "Is")
STANDINGS = {
    "finding": "a finding",
    "lead": "a lead",
    "none": "not shown to differ",
    "untested": "not testable",
}
TESTS = {True: "F {f}", False: "order, ticks or flags"}
TEST_CONTROL = "against the blind control, exact"
UNIFORM_TITLES = {True: "Bowls of one sample", False: "Pots of one sample"}
UNIFORM_HEADS = {
    True: ("Question", "Between bowls, SD", "One score, SD", "p", "Stands apart"),
    False: ("Question", "Between pots, SD", "One score, SD", "p", "Stands apart"),
}
TICKS_TITLE = "Ticked words: {question}"
TICKS_HEAD = ("Word", "p, all words together")
ORDER_TITLE = "Order: {question}"
ORDER_HEAD = ("Sample", "Rank sum")
REFERENCE_TITLE = "Against the house reference, all pairs together"
REFERENCE_HEAD = ("Question", "Sample", "Difference", "Told apart")
SIDES_TITLE = "Liking and just about right: {question}"
SIDES_HEAD = ("Sample", "Side", "People", "Liking lower by", "Weighted by share")
TOO_LITTLE, TOO_MUCH = "too little", "too much"
WORDS_TITLE = "Personal words"
WORDS_HEAD = ("Assessor", "Words")
NOTES_TITLE = "Remarks of the methods"
NOTES_HEAD = ("Question", "Remark")
REMARKS_TITLE = "Comments, as they were written"
REMARKS_HEAD = ("Question", "Sample", "Assessor", "Comment")
SMALL_SIDE = " (few)"
YES, NO = "yes", "no"

# Bayes factors, among more analyses

BELIEFS_TITLE = "Bayes factors: a difference against none"
BELIEFS_GRID = "Pairs of samples in {question}"
BELIEFS_UNDECLARED = (
    "No question with numbers was declared to count: Bayes factors are given for that one alone."
)
BELIEFS_NONE = "The declared question has no scores to weigh."
BELIEFS_PRIOR = {
    True: (
        "The prior, as sealed with the plan: where two samples differ, half of all differences "
        "are smaller than {scale} of the spread of people’s own differences (Cauchy, scale "
        "{scale}; Rouder and others 2009)."
    ),
    False: (
        "The prior was stated after sealing, the default: where two samples differ, half of all "
        "differences are smaller than {scale} of the spread of people’s own differences (Cauchy, "
        "scale {scale}; Rouder and others 2009)."
    ),
}
BELIEFS_MEANING = (
    "A Bayes factor says how many times as likely these scores are if samples differ, by amounts "
    "as the prior has them, as if they do not differ at all: 6 speaks for a difference, 1/6 for "
    "none. Between 1/3 and 3 it says little (Jeffreys 1961). It is not the chance that they "
    "differ: multiply what you held before by it."
)
BELIEFS_TOGETHER = (
    "All samples together, by {people} who scored all of them: {planned}, {says}; with half the "
    "scale {half}, with twice the scale {twice}."
)
BELIEFS_TOGETHER_NONE = "All samples together: {why}"
BELIEFS_PAIRS = (
    "There are {pairs}, each weighed by itself over people: nothing is adjusted for their "
    "number, so look at all samples together first."
)
BELIEFS_POSTERIOR = (
    "Limits at {level}, and the chance that the first sample named is above, hold under the scale "
    "{scale}, if there is a difference at all."
)
BELIEFS_SHARED = (
    "No Bayes factor is given: everybody scored one set of bowls. A bowl that went wrong moves all "
    "scores at once, so that weighing person by person would take it for a difference of samples."
)
BELIEFS_SINGLE = "Every sample came from one pot: what is weighed are these pots."
BELIEFS_ASIDE = "The conclusion at the top rests on the planned test, not on these numbers."
BELIEFS_HEAD = (
    "Pair",
    "Speaks",
    "Bayes factor",
    "With half and twice the scale",
    "Points",
    "Limits of points",
    "Chance of “above”",
    "People",
)
BELIEFS_OTHERS = "{half} and {twice}"
BELIEFS_SAY = {
    "difference": "for a difference",
    "none": "for none",
    "little": "little either way",
    "depends": "hangs on the prior",
    "untested": "not estimable",
}
BELIEFS_NEARLY = "over 99.9%"
BELIEFS_MORE = "more than {most}"
BELIEFS_LESS = "less than 1/{most}"

DECIDED = {
    "release": "Released",
    "hold": "Held back",
    "re-roast": "To be roasted again",
    "retaste": "To be tasted again",
}
