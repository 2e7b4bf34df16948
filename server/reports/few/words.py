"""Every sentence of a similarity test; `{names}` are filled in by the modules beside it.

A passed test says that fewer than a stated share notice, never that nobody does. That
several answers of one person carry no such claim follows AS 2542.2.4, clause 6.2, and
ISO 4120, clause 8.
"""

from server.reports.verdicts import Verdict

HEADLINES = {
    Verdict.FEW: (
        "With these people and brews, fewer than {limit} of judgements noticed the difference "
        "(one-sided {level} limit: {upper})."
    ),
    Verdict.FEW_TOLD_APART: (
        "{Who} told “{a}” and “{b}” apart in these brews, but fewer than {limit} of judgements "
        "noticed the difference (one-sided {level} limit: {upper})."
    ),
    Verdict.FEW_UNSHOWN: (
        "Not shown that fewer than {limit} of judgements notice the difference: "
        "{k} of {n} answers were right, {most} or fewer were needed."
    ),
    Verdict.FEW_OUT_OF_REACH: (
        "No conclusion: {answers} cannot show that fewer than {limit} of judgements notice."
    ),
}

# What may be said

PASSED = "In these brews {success} in {k} of {n} servings; {most} or fewer show it."
AT_LIMIT = "If {limit} of judgements noticed, so few right answers would come up in {at_limit}."
UPPER = "The largest share that these answers still allow is {upper} (one-sided {level} limit)."
SEALED = "The limit of {limit} and the risk of {beta} were sealed before the first sip."
NEEDED = "{k} of {n} answers were right; {most} or fewer were needed."
WOULD_PASS = "If nobody noticed, the test would be passed in {passes}."
COUNTED = "{k} of {n} answers were right."

# What may not be said

NOT_SMALLER = "That fewer than {upper} notice: the answers show no smaller share."
NOT_MORE = "That {limit} or more of judgements notice: a miss does not show it."
NOT_TOLD_APART = "That they can be told apart."
NOT_BEYOND = "That drinkers in general notice as little: it speaks of people like these."

# Limits

NOT_FEW = "It is not shown that fewer than {limit} of judgements notice."
SMALL = "Fewer than 30 answers: ISO 5495:2005 advises against a similarity test with so few."
ONE_EACH_NEEDED = (
    "Somebody was to answer more than once: such answers carry no similarity claim, "
    "because people may differ."
)
MASKED = (
    "Brews that do not match can hide a difference as well as make one: {rivals} may have done so."
)
STILL_VALID = (
    "Nobody had looked at key or results, so limit and p hold for {reached} answers; "
    "the chance to pass if nobody notices is {passes} instead of {passes_planned}."
)

# Next steps

NEXT_ACCEPT = "Accept it, if {limit} was chosen with those in mind who will drink it."
NEXT_PEOPLE = (
    "Ask at least {people} people, once each, for a lasting chance of {power} to pass "
    "if nobody notices."
)
NEXT_LARGER_LIMIT = "Such a limit needs more people than can be planned: choose a larger one."
NEXT_DIFFERENCE = "If the answers look as if some notice, plan a test that is to show that."

# The next plan

REPAIR_SHORT = "Even {most} people fall short of {people}: choose a larger limit."
