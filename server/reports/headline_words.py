"""The headline of a finding, and who is spoken of; `{names}` are filled in by `claims`.

No headline claims more than a forced-choice test can: not a cause, not a direction, not an
absence. Labels and reasons typed by people are quoted “so”.
"""

from server.reports import brew_pick_words
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
