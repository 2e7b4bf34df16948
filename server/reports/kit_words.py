"""How a round is set out with what is at hand, and what would mend it where it cannot be."""

NAMES = {
    "cups": ("cup", "cups"),
    "pots": ("pot", "pots"),
    "flasks": ("flask", "flasks"),
    "hands": ("person who pours", "people who pour"),
}
AT_ONCE = "All {seats} seats of a round are served at once."
WAVES = (
    "A round is served in {waves}, {seats} seats each: poured all at once, the first cups would "
    "wait too long or the cups not reach."
)
EACH = "Seat by seat: the cups of a serving are brewed one by one and set out at once."
EACH_ALONE = "The cups of each serving are brewed one by one, right before they are shuffled."
OWN = "The cups of a sitting are marked and set out at once: {cups} of them."
CUP_WAIT = "A cup waits up to {minutes} from its pour to the first sip (at most {limit})."
BREW_WAIT = "A brew stands up to {minutes} before its last cup (at most {limit})."
ROUNDS_AT_ONCE = {
    True: "The cups reach for all {rounds}: nothing need be washed in between.",
    False: "The cups reach for {at_once}: wash up after every {every}.",
}
WITHIN = "The cups do not reach for one round: wash up between its waves."
LIMITS = "Limits and durations are common practice, no source; the thermometer decides."

TROUBLES = {
    "cups": "There are too few cups to serve at all.",
    "vessels": "The pots and flasks do not hold the {pots} brews of a round.",
    "cup_waits": "A cup would wait {minutes} from its pour to the first sip, longer than {limit}.",
    "brew_waits": "A brew would stand {minutes} before its last cup, longer than {limit}.",
}
MENDED = {
    False: "It would work with {mends}, or with fewer people at a time.",
    True: "It would work with {mends}, or with fewer servings a sitting.",
}
NOT_MENDED = {
    False: "Plan fewer people at a time, or several tastings.",
    True: "Plan fewer servings a sitting.",
}
