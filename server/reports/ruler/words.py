"""Words about a ruler of added water."""

NO_DISTANCE = "answers under its plan have no d′ that compares with others"
NO_RESULT = "it has no result"
EXPLORATORY = "it is exploratory"
BELOW_GUESSING = "its answers lie below guessing"
SHARED_POTS = "like cups came from one pot"
NOT_MATCHED = "more than the water differed: its brews were not matched"
SMALL_CONTROL = "this control had too few answers"

AS_MUCH = "About as noticeable as {percent} added water ({level} limits {low} to {high})."
NOT_NOTICED = (
    "By the estimate not noticed at all; as noticeable as up to {high} added water "
    "({level} limit) is not excluded."
)
NOT_NOTICED_OPEN = (
    "By the estimate not noticed at all; as noticeable as {most} added water, "
    "the most on the ruler, or more, is not excluded ({level} limit)."
)
MORE_BUT = (
    "By the estimate more noticeable than {most} added water, the most on the ruler; "
    "as little as {low} ({level} limit) is not excluded."
)
MORE = (
    "More noticeable than {most} added water, the most on the ruler: "
    "the lower {level} limit lies above it as well."
)
BEYOND = "more than {most}"

NOT_IN_KIND = (
    "This says how readily the difference is noticed, never what it tastes of: "
    "nothing in it says weak, thin or watery."
)
WHO_TASTED = (
    "It holds as far as those who tasted the dilutions tasted here too, and a drink of that kind; "
    "names are on no record, so nothing here can check that. Every answer counts as independent."
)
STRAIGHT_TAKEN = (
    "One dilution: that d′ grows in proportion to the water is taken for granted "
    "(common practice, no source)."
)
STRAIGHT_FITS = (
    "That d′ grows in proportion to the water (common practice, no source) fits the dilutions "
    "(p {p})."
)
STRAIGHT_FAILS = (
    "The ruler has no scale: d′ does not grow in proportion to the water (p {p}). "
    "Nothing is read off it."
)
MARK = "{percent} added water: {k} of {n} right ({method}{control}), seal {seal}"
OF_CONTROL = ", positive control"

AXIS = "Water added, g to 100 g of sample A"
HEIGHT = "d′"
LINE = "d′ in proportion to the water"
BAND = "{level} limits of the line"
MARKS = "dilutions, with {level} limits"
ALT = (
    "d′ against added water. {marks}. The straight line through 0 has {d} for every 10 g "
    "({level} limits {low} to {high})."
)
ALT_MARK = "{percent}: d′ {d}"
