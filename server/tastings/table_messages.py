"""What is said of a scored table's plan that cannot be taken, beside which field."""

from server.tastings.planning import MESSAGES as PLAN_MESSAGES

MESSAGES = {
    **PLAN_MESSAGES,
    "sheet": "Choose a score sheet.",
    "style": "Choose whether everybody has cups of their own.",
    "bowls": "Cups or bowls of a sample: a whole number from 1 to 10.",
    "warm_up": "Choose one of the samples, or none.",
    "reference": "Choose one of the samples, or none.",
    "calibration": "Say what the open bowl is, in up to 120 characters.",
    "block": "Samples a table: 0 for all, or a whole number below that of the samples.",
    "sittings": "Sittings: a whole number from 1 to 12.",
    "primary": "Choose an attribute of this sheet that is a number or an order, or none.",
    "cup_ml": "A cup or bowl holds 10 to 400 mL.",
    "prior_scale": "The size of differences to expect lies between 0.1 and 3 spreads.",
    "sip_limit_c": "The first sip waits for a bowl at 30 to 65 °C; above 65 °C a drink scalds.",
}
OPEN_SAMPLE = (
    "This names the sample “{sample}”. Everybody reads these words, and whoever has just tasted a "
    "sample openly knows it again under its code: take another coffee for the open bowl."
)
FIELDS = {
    "levels": "sample_a", "duplicates": "twice_a", "block": "block", "pots": "pots",
    "sittings": "sittings", "warm_up": "warm_up", "reference": "reference",
    "order": "order",
}  # fmt: skip
"""Where the sentence stands that a plan cannot be drawn: by the argument it names."""

ORDER = "Name every sample once, by its letter, the first place first; or leave it empty."

SENTENCES = {
    "order": ORDER,
    "duplicates": "Scattered bowls are blind duplicates already: leave this empty.",
    "block": "So few samples a table leave no room for the reference and the duplicates, or "
    "leave a sample out. Take more samples a table, or more sittings.",
    "pots": "Shared bowls are brewed one by one: choose separate brews.",
    "sittings": "So many sittings would need more codes than there are. Take fewer sittings or "
    "fewer codes a table.",
}
