"""Every sentence of a series' finding; `{names}` are filled in by the modules beside it."""

from server.reports.series.verdicts import SeriesVerdict

HEADLINES = {
    SeriesVerdict.NOTICED_FROM: (
        "This panel noticed “{substance}” half of the time at about {threshold}."
    ),
    SeriesVerdict.NOTICED_FROM_NOT_MATCHED: (
        "This panel noticed “{substance}” half of the time at about {threshold}, "
        "but {rivals} not matched: a rival cause."
    ),
    SeriesVerdict.BETWEEN: (
        "From guessing to right in one jump: this panel began to notice “{substance}” "
        "between {low} and {high}."
    ),
    SeriesVerdict.BELOW: (
        "The estimate, about {threshold}, lies below the lowest step tasted: start lower."
    ),
    SeriesVerdict.ABOVE: (
        "The estimate, about {threshold}, lies above the highest step tasted: go on higher."
    ),
    SeriesVerdict.ALL_RIGHT: (
        "Every answer was right, from the lowest step, {first}, on: start lower."
    ),
    SeriesVerdict.NOT_NOTICED: (
        "Not shown that this panel notices “{substance}” anywhere up to {last}: "
        "{k} of {n} answers were right, no more than guessing gives."
    ),
    SeriesVerdict.NOT_ESTIMABLE: (
        "Not estimable: these answers do not say from which concentration on it is noticed."
    ),
    SeriesVerdict.EXPLORATORY: "Exploratory only: {reason}",
    SeriesVerdict.ABANDONED: "Abandoned: there is no finding.",
    SeriesVerdict.NO_ANSWERS: "Not estimable: no answer counts.",
}

# What may be said

HALF = (
    "In these cups this panel noticed “{substance}” in “{base}” in half of the servings, "
    "beyond guessing, at about {threshold} ({level} limits {low} to {high})."
)
JUMPED = (
    "Below some concentration answers were guesses, above it they were right; it lies between "
    "{low} and {high} ({level} limits)."
)
GROUP = (
    "The geometric mean of {people} best estimates is {group}{limits}: each lies between the "
    "last step that somebody missed and the next one."
)
GROUP_LIMITS = " ({level} limits {low} to {high})"
LEAD = "{k} of {n} answers were right: a lead for a new series, not a finding."
OUTSIDE = "{k} of {n} answers were right; the estimate goes beyond what was tasted."
NOT_REACHED = "{k} of {n} answers were right; guessing gives about {expected}."
RIGHT = {
    True: "What was noticed was asked for by name: “{attribute}”.",
    False: "What was noticed may be any difference: nobody was told what to look for.",
}

# What may not be said

NOT_SAFE = (
    "That any concentration is safe or harmless: a threshold of taste says nothing about harm, "
    "and what harms may go untasted."
)
NOT_NOBODY = "That nobody notices it below that: some notice less, and half of the time is often."
NOT_NOBODY_YET = "That nobody notices it at these concentrations."
NOT_ONE = "What any one person notices: people differ, and a best estimate rests on few answers."
NOT_OTHERS = "That other people, another base or another way of tasting would give the same."
NOT_NAMED = "That they knew what it was: the odd cup was asked for, not its taste."
NOT_LIKED = "That it is liked or disliked at any concentration."
NOT_A_FINDING = "From which concentration on this panel notices it."
NOT_EXTRAPOLATED = "The estimate as if that concentration had been tasted."
NOTHING = "Anything about what was added."

# Limits

INCOMPLETE = "Incomplete: {answers} of {planned} planned answers count. Reason given: {reason}."
DEPENDS = "Counted in other ways the estimate moves: see below."
POOLED = (
    "The curve takes all answers for independent. Answers of one person are not; where people "
    "differ it is shallower than anybody’s own, and its limits may be too narrow."
)
RISING = (
    "Everybody knew that it may get easier from round to round: whoever expects it looks harder, "
    "and whoever has tasted many cups tires. Both move a threshold."
)
ONE_ANSWER = "One answer a person and step: {persons} and {steps} steps of one series on one day."
ODD_OR_NAMED = {
    True: (
        "Asked by name the serving is a 3-AFC test: whoever notices something else in the cup "
        "may pick another one."
    ),
    False: (
        "Asked for the odd cup, tasters may have found it by whatever differs. Guessing finds it "
        "in one of three servings as well; a threshold needs no more, and no d′ is given."
    ),
}
ONE_BATCH = (
    "In each round both kinds of cups came from one batch of the base, so its pots cannot be told "
    "apart. From how many sources the rest came, how evenly and how exactly it was added, is not "
    "on record."
)
PROPERTY = {
    "not matched": (
        "{Name} was not matched: in a round base and other cups differed by {worst}, "
        "the planned limit is {limit}."
    ),
    "borderline": (
        "{Name} was only nearly matched: in a round base and other cups differed by {worst}, "
        "the planned limit is {limit}."
    ),
    "not measured": (
        "{Name} was not measured in every batch, so it stays a possible cause of right answers."
    ),
}
BADLY_FITTED = "The curve fits badly (p {p}): read the shares by step, and the threshold with care."
NOT_RECORDED = "Not recorded: fill and looks of each single cup, time from filling to sipping."
NO_COMPLIANCE = (
    "A tasting result is not a compliance test: limits for food are set by law, not by taste."
)

# Next

NEXT_REPEAT = "Serve the series again on another day: a threshold that holds twice is worth more."
NEXT_CLOSER = "Put the steps closer together around {threshold}."
NEXT_LOWER = "Plan a series that starts well below {first}, as long as its top stays noticed."
NEXT_HIGHER = (
    "Plan a series that goes on above {last}, within what label and local rules allow for food."
)
NEXT_MORE = "Ask more people, or plan more steps: these answers fit too many thresholds."
NEXT_MATCH = "Keep base and other cups equally warm and full, and read them in every round."
NEXT_WHOLE = "Serve the whole series blind before anybody looks at key or results."
