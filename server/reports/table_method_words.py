"""Sentences of a table that serves a method: differences from a control, and orders.

As in `table_words`, `{names}` are filled in beside it, and nothing claims more than one panel
shows. An order says what came before what, in the sheet's own words; never what is better.
"""

from collections.abc import Mapping

from server.reports.table_verdicts import Manner, TableVerdict

BUT = {
    TableVerdict.DIFFER: ".",
    TableVerdict.DIFFER_NEARLY_MATCHED: ", but {rivals} only nearly matched and may be why.",
    TableVerdict.DIFFER_NOT_MATCHED: ", but {rivals} not matched: a rival cause.",
    TableVerdict.DIFFER_NOT_MEASURED: (", but {rivals} not measured in every brew and may be why."),
    TableVerdict.DIFFER_BOWLS: (
        "; each stood in one bowl or came from one pot, so whether the samples differ is not known."
    ),
}
SHOWN = {
    Manner.CONTROL: (
        "This panel scored {samples} further from the control than the blind control itself ({p})"
    ),
    Manner.ORDER: "This panel put the samples in an order beyond chance in {question} ({p})",
    Manner.TREND: "This panel’s orders follow the one declared beforehand in {question} ({p})",
}
NOT_SHOWN = {
    Manner.CONTROL: (
        "The scores do not show that any sample is further from the control than the blind control "
        "itself ({p})."
    ),
    Manner.ORDER: "The orders do not show that the samples differ in {question} ({p}).",
    Manner.TREND: "The orders do not show the trend declared beforehand in {question} ({p}).",
}
HEADLINES: Mapping[Manner, Mapping[TableVerdict, str]] = {
    manner: {verdict: f"{shown}{but}" for verdict, but in BUT.items()}
    | {TableVerdict.NOT_SHOWN: NOT_SHOWN[manner]}
    for manner, shown in SHOWN.items()
}

# Differences from a control

CONTROL_BASE = (
    "The blind control “{control}” got {base} on average, though it is the control: scores are "
    "read against that, never against 0."
)
CONTROL_BASE_NONE = "Nobody scored the blind control: no score can be read."
CONTROL_EACH = (
    "“{sample}”: {mean} against the blind control’s {base} ({difference} more, limits {lower} to "
    "{upper}, {p}): {told}."
)
CONTROL_NO_LIMITS = (
    "“{sample}”: {mean} against the blind control’s {base} ({difference} more, too few people for "
    "limits, {p}): {told}."
)
CONTROL_NONE = "“{sample}”: not estimable, {why}."
CONTROL_NOBODY = "nobody scored it and the blind control"
CONTROL_FINE = "the scores are too fine for exact values"
TOLD = {True: "further from it", False: "not shown to be further from it"}
CONTROL_HOW = (
    "Person by person, exact and one-sided; p is adjusted for {samples} (Holm), and each limit "
    "holds at {level} for all of them together."
)
CONTROL_FEW = (
    "So few people cannot reach {alpha}: {people} give p = {least} at the least, before it is "
    "adjusted for {samples}."
)
CONTROL_TITLE = "Against the blind control: {question}"
CONTROL_HEAD = (
    "Sample", "Score", "Blind control", "Difference", "Limits", "p, adjusted", "Further off",
    "People",
)  # fmt: skip

# Orders

ORDER_SUMS = "Rank sums, the lower the nearer to “{first}”: {sums}."
ORDER_SUM = "“{sample}” {total}"
ORDER_PAIRS = "Told apart, all pairs together at {level}: {pairs}{least}."
ORDER_LEAST = "; their rank sums are {least} or more apart"
ORDER_PAIR = "“{one}” before “{other}”"
ORDER_PAIRS_NONE = (
    "Which of them differ cannot be told: no single pair of rank sums stands apart at {level}."
)
ORDER_TREND = "Declared beforehand, first place first: {order}. Page’s L is {l} ({p}, {how})."
ORDER_FRIEDMAN = "Without that order, all samples together (Friedman): {p}."
ORDER_BLOCKS = "Not everybody put all samples in order: tested by what each one ordered."
HOW = {True: "exact", False: "an approximation"}
PAIRS_TITLE = "Pairs of rank sums: {question}"
PAIRS_HEAD = ("First", "Second", "Apart by", "p, all pairs together", "Told apart")

# Numbers

METHODS = {
    "control": "each sample against the blind control, exact sign changes, Holm",
    "friedman": "Friedman’s test of rank sums, {how}",
    "page": "Page’s test along the declared order, {how}",
    "blocks": "Skillings and Mack’s test of incomplete orders",
}
