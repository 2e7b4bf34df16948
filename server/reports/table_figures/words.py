"""What the figures say: labels, reasons and text alternatives; `{names}` are filled in beside it.

They claim no more than the tests do: a difference that chance would explain is
not called one, and none found is not called none.
"""

# Profile

PROFILE_KEY = (
    "dot: mean, line: its {level} limits; small strokes: scores, "
    "every assessor at a height of their own"
)
CROSS_KEY = "×: scores of somebody against the rest"
LETTERS_KEY = "samples that share a letter are not told apart"
NO_LIMITS = "hollow dot: the mean has no limits"
NO_SCORE = "no score"
PROFILE_HEAD = ("Attribute", "p", "Sample", "Mean", "{level} limits", "Letters", "Scores")
PROFILE_ALT = (
    "Means of {samples} in {attributes}, each with its {level} limits and the scores behind."
)
PROFILE_NONE = "No attribute tells the samples apart beyond chance by its own test."
PROFILE_UNTESTED = "Not testable: {names}."
PROFILE_FINDINGS = "Samples differ in {names}."
PROFILE_LEADS = "Leads, not findings: {names}."
STANDINGS = {"finding": "finding, {}", "lead": "lead, {}", "none": "{}", "untested": "{}"}

# Interaction

LINES_KEY = "thick line: mean of the panel, thin lines: assessors"
LINES_NAMED = "{who}: against the rest"
LINES_PANEL = "panel"
LINES_HEAD = ("Attribute", "Assessor")
LINES_ALT = "One line an assessor over {samples} in {attributes}, and the panel’s mean."
LINES_NOBODY = "Nobody goes against the rest more than chance would explain."
LINES_AGAINST = "{who} against the rest in {names}."
GOES = {True: "{} goes", False: "{} go"}

# Assessors

COLUMNS = (
    ("tells apart", "0 not, 1 fully"),
    ("repeats", "SD, 0 exactly"),
    ("agrees", "r, 0 not at all"),
)
ASSESSORS_HEAD = (
    "Assessor",
    "Tells samples apart: share of own variance",
    "{level} limits",
    "Repeats: SD of repeated scores",
    "{level} limits",
    "Agrees: r with the rest",
    "{level} limits",
    "Samples shared",
)
ASSESSORS_ALT = (
    "How {assessors} worked on {attribute}: telling samples apart, repeating and agreeing, "
    "each with {level} limits."
)
ASSESSORS_KEY = "dot and line: value and its {level} limits; arrow: they go on; hollow dot: none"
AGAINST_TAG = "against the rest"
ASSESSORS_AGAINST = "{who} against the rest."
TELLS = "By own repeats the limits of telling samples apart stay above 0 for {told} of {testable}."
TELLS_NONE = "Nobody repeated a sample, so who tells them apart and who repeats is not estimable."
WIDE = "Agreement rests on {samples}."

# Flags

FLAGS_KEY = (
    "circle: flagged, the larger the stronger (up to {highest}; hollow: not said); number: by how "
    "many; dot: tasted, not flagged so"
)
FLAGS_NONE = "nothing flagged"
FLAGGED = "{flagged} of {cups}"
FLAGGED_OF = "{flagged} of {cups} of {sample}"
NOT_TASTED = "–"
FLAGS_HEAD = ("Sample", "Cups flagged", "Flag", "Cup", "Flagged by", "Strongest", "Who")
FLAGS_ALT_NONE = "No cup of {samples} was flagged."
FLAGS_ALT = "Flagged cups: {counts}."
FLAGS_MOST = "Named most: {word}, in {cups}."

# Just about right

RIGHT_KEY = "bars: % of answers, centred on those about right"
BELOW, RIGHT, ABOVE = "too little", "about right", "too much"
RIGHT_HEAD = ("Attribute", "Sample", "Answers", BELOW, RIGHT, ABOVE)
RIGHT_ALT = "Shares of too little, about right and too much for {samples} in {attributes}."
RIGHT_MOST = "Most one-sided: {sample} in {attribute}, {share} {side}."
RIGHT_BALANCED = "No answer lies to one side of about right."
NO_ANSWER = "no answer"

# Maps

MAP_SAMPLES = "No map: it takes {least} samples or more, not {found}."
MAP_ASSESSORS = "No map: it takes {least} assessors or more who rated everything, not {found}."
MAP_TICKERS = "No map: it takes {least} assessors or more, not {found}."
MAP_CONFIGURATIONS = (
    "No map: it takes {least} assessors or more with words of their own, not {found}."
)
MAP_TICKED = "No map: it takes {least} samples or more that anything was ticked for, not {found}."
MAP_FLAT = "No map: the samples differ along one line at most."
MAP_AXIS = "{axis}: {share} of the differences"
AXES = ("across", "upwards")
MAP_TITLE = "Samples: near means alike"
MAP_ARROWS = "Attributes: towards which samples they rise"
ELLIPSE_KEY = "ellipse: where a sample may lie with other assessors like these, {level}"
MAP_HEAD = ("What", "Name", "Across", "Upwards", "Ellipse, long", "Ellipse, short")
MAP_ALT = "Map of {samples} by {attributes}, {share} of their differences shown."
MAP_APART = "Farthest apart: {one} and {other}."
MAP_OVERLAP = "{overlaps} of {pairs} pairs of ellipses overlap."
KIND_SAMPLE, KIND_ATTRIBUTE, KIND_WORD = "sample", "attribute", "word"

WORDS_TITLE = "Samples (bold) and ticked words"
WORDS_KEY = "same direction from the centre: ticked more often there than elsewhere"
WORDS_ALT = "Map of {samples} and {words}, {share} of the differences in ticks shown."
WORDS_FOUND = "Ticks differ between samples for {names}."
WORDS_FOUND_NONE = "By its own test no word is ticked more often for one sample than another."

OWN_TITLE = "Samples; small dots: each assessor"
OWN_WORDS = "Own words: towards which samples they rise"
OWN_CHECK = "{ratio} in common; by chance alone {chance} on average, {p}."
OWN_NO_CHECK = "{ratio} in common; whether that is beyond chance is not estimable."
OWN_CHANCE = "Not beyond chance: read nothing into it."
OWN_ALT = "Map of {samples} from the own words of {assessors}."
OWN_LEFT = "in the table alone, since they reach less far: {left}"
OWN_WORD = "{word} ({who})"
