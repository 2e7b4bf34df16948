"""Why a method is proposed, and what is said where none is; `{names}` are filled in elsewhere."""

DIRECTION = (
    "Tasters can name beforehand what differs and which way. To find a difference of this size "
    "the {title} takes {mine} {what}; the {other}, which asks for nothing named, {theirs} "
    "({ratio})."
)
DIRECTION_NARROW = (
    "It sees this one difference only, and only the way you name it: anything else that differs "
    "may stay unseen."
)
ATTRIBUTE = (
    "Tasters can name what differs, though not which way: the {title} counts either way, and takes "
    "{mine} {what}; the {other}, which asks for nothing named, {theirs} ({ratio})."
)
DIRECTION_ONLY = (
    "Tasters can name beforehand what differs and which way: the {title} asks for just that."
)
ATTRIBUTE_ONLY = (
    "Tasters can name what differs, though not which way: the {title} counts either way."
)
BY_POWER = {
    False: "The people at hand are too few to be sure; with their answers the {title} finds a "
    "difference of this size most often.",
    True: "Others take less, but more answers than there are at hand; for the {title} these are "
    "enough.",
}
ONLY = "The {title} is the one method here that answers this question."
LIKED = (
    "Liking is asked for by the {title}; it does not show whether two samples can be told apart."
)
NATURE_UNKNOWN = (
    "Nobody can name the difference beforehand: of the methods that need nothing named the "
    "{title} takes least: {mine} {what}, the {other} {theirs}. That holds unless each cup still "
    "tastes of the one before: then the fewer at once, the better (tick that it lingers)."
)
LINGERS = (
    "The taste lingers: the {title} sets {coded} coded cups before a person at once, the fewest "
    "there are. Triangle tests are not meant for strong after-effects (ISO 4120, scope)."
)
FAMILIAR = "Tasters know sample A already: it is the open reference of every serving."
ALONE = (
    "Whoever pours, shuffles and tastes alone needs a method in which any order may fall: the "
    "{title} is one."
)
UNKNOWN_SIZE = "How many answers it takes cannot be said by d′. {why}"
ENOUGH = "{each} a person will do: {answers} find a difference of this size in {power} such tests."
NOT_ENOUGH = (
    "With {answers} at hand a difference of this size is found in {power} such tests only; "
    "{wanted} answers would find it in four of five. More people, servings or days help."
)
NO_POWER = (
    "So few answers can never reach the level of 0.05, not even if all of them are right. It takes "
    "more people, servings or days."
)
TOO_MANY = "So small a difference would take more answers than anybody can plan for."

MEASURES = {
    "cups": "cups",
    "answers": "answers",
    "pots": "pots",
    "minutes": "minutes a day",
    "caffeine": "mg of caffeine a day",
}
NONE_SERVED = {
    "more": "Which has more of it can be asked only of tasters who can name what differs: change "
    "the second answer, or ask whether the two can be told apart at all.",
    "liked": "No method that asks for liking is served here yet.",
    "apart": "No method served here suits these answers.",
}
NONE_ALONE = (
    "Nobody can pour, shuffle and taste such a test alone. Somebody else has to pour, or the "
    "question be whether two samples can be told apart."
)
TABLES = {
    "control": "How large a difference is against a control is scored: every sample, the hidden "
    "control among them, gets a value on a scale. That is a scored table.",
    "order": "Several samples are ranked or scored side by side: that is a scored table.",
}
OTHER_TESTS = {
    "threshold": "The lowest amount that somebody notices takes a rising series of amounts, each "
    "against plain cups. It is planned on a page of its own.",
    "unnoticed": "That nobody notices is another test with another size: a difference that was "
    "missed is not one that is small. With {chance} in {parts} right by guessing, {answers} people "
    "with one answer each are needed to show that fewer than {limit} % of them notice, and "
    "to succeed four times in five if none of them does (risk 0.05).",
}

SIZES = {
    "large": "Large: {right} of 100 people would point at the right one of two cups",
    "middling": "Middling: {right} of 100 would",
    "small": "Small: {right} of 100 would",
}
SIZE_OF_LIKING = (
    "Asked which is liked: {large}, {middling} or {small} of 100 for one and the same sample."
)
FILLED = (
    "Filled in from your answers. Everything may still be changed; what is empty is yours to say."
)

POWER_AXIS = "d′, how far apart the samples taste; {answers}"
POWER_CHANCE = "found in … of 100 such tests"
POWER_SIZE = "the size that matters"
POWER_ALT = (
    "Chance to find a difference with {answers}, rising with d′, a line a method. "
    "At d′ {d}: {said}."
)
