"""What is said of a brew's numbers: yields with their form, and what strikes about them."""

from server.brewing.extraction import Form
from server.brewing.sanity import YIELDS, Finding, Remark
from server.brewing.strength import USUAL as INSTRUMENT
from server.brewing.strength import WARMEST_C, WIDEST_SPREAD, find_evaporated
from server.brewing.yields import LIMITS, USUAL_RETAINED, BrewYield

REMARKS = {
    Remark.BEVERAGE_ABOVE_WATER: (
        "More beverage ({value} g) than water ({instead} g) cannot be: check both."
    ),
    Remark.WATER_BELOW_DOSE: (
        "Less water ({value} g) than coffee ({instead} g) cannot be: check both."
    ),
    Remark.POINT: "{value} %TDS? Such a brew has {low} to {high} %TDS. {instead}?",
    Remark.STRENGTH_FAR: "{value} %TDS? Such a brew has {low} to {high} %TDS. Is it right?",
    Remark.SPREAD: (
        f"The readings lie {{value}} %TDS apart, more than {WIDEST_SPREAD}. Stir, clean the glass "
        "and read again; a film, a bubble or a warm drop does this."
    ),
    Remark.WARM: (
        f"A sample at {{value}} °C reads wrong and evaporates: 100 g at 1.35 %TDS that lose 2 g "
        f"read {find_evaporated(1.35, 100, 2):.2f}. Cover it, let it cool to 20 to {WARMEST_C:g} "
        "°C and read again."
    ),
    Remark.NOT_FILTERED: (
        "Read without a filter: fine grounds in the drop read as strength. Filter all samples of "
        "a test alike."
    ),
    Remark.ZERO_AIR: (
        "Set to zero with air: wipe the glass and set it with distilled water, or for all samples "
        "with the water brewed with."
    ),
    Remark.RETAINED_FAR: (
        "The coffee would have kept {value} g of water a gram; {low} to {high} g is usual. Check "
        "dose, water and beverage."
    ),
    Remark.HOT_ML: (
        "Was the water measured in millilitres? {value} mL at brewing heat are about {instead} g."
    ),
    Remark.YIELD_FAR: (
        f"A yield of {{value}} % lies outside {YIELDS[0]:g} to {YIELDS[1]:g} %: something was "
        "weighed or read wrong."
    ),
    Remark.ESTIMATED: (
        "The beverage was not weighed, so this is an estimate. Never take all the water for it: "
        "that would read {instead} %."
    ),
    Remark.NOT_FROM_BEVERAGE: (
        "All the water took part, so the yield counts it. From the beverage alone it would read "
        "{instead} %."
    ),
}
FORMS = {
    Form.BEVERAGE: "from the weighed beverage",
    Form.RETAINED: "estimated: beverage from the water the coffee keeps",
    Form.SIMPLE: "from all the water, solids not counted",
    Form.SOLIDS: "from all the water, solids counted",
    Form.ABSORBED: "from all the water but what the coffee took up, solids counted",
    Form.LAST_DROPS: "from beverage and last drops",
}
REASONS = {
    "strength": "No yield yet: no strength was read.",
    "dose": "No yield yet: the dose was not noted.",
    "water": "No yield yet: the water was not noted, and this brewer’s yield counts it.",
    "beverage": "No yield yet: the beverage was not weighed.",
    "last drops": (
        "No yield: a brewer that steeps and drips needs the strength of its last drops as well."
    ),
    "cannot be": "No yield: these numbers cannot be of one brew.",
}
USUAL = f"With {USUAL_RETAINED:g} g of water kept a gram, unless noted otherwise."
NO_COMPARING = (
    "Yields by different forms do not compare: the forms alone lie two or three points apart."
)
NOT_CORRECTED = "Neither moisture nor gas of the beans is corrected for."
PLUS_MINUS = (
    f"± counts scales right within {LIMITS['dose_g']:g} g of coffee and {LIMITS['water_g']:g} g of "
    f"the rest, an instrument right within {INSTRUMENT.accuracy:g} %TDS, and how the readings lie "
    "apart: the root of the sum of their squares."
)


def say_remark(found: Finding) -> str:
    """Say what strikes about a number.

    Examples
    --------
    >>> from decimal import Decimal
    >>> from server.brewing.sanity import FILTER, Weight
    >>> slip = Decimal("13.6"), Decimal("1.36")
    >>> say_remark(Finding("tds", Weight.ASK, Remark.POINT, *slip, usual=FILTER))
    '13.6 %TDS? Such a brew has 0.5 to 3 %TDS. 1.36?'
    """
    instead = "" if found.instead is None else f"{found.instead:f}"
    low, high = found.usual or ("", "")
    return REMARKS[found.remark].format(
        value=f"{found.value:f}", instead=instead, low=low, high=high
    )


def say_yield(found: BrewYield) -> str:
    """Say a yield with its limits and its form, or why there is none.

    Examples
    --------
    >>> say_yield(BrewYield(21.267, Form.BEVERAGE, alone=0.272))
    '21.3 % ± 0.5, from the weighed beverage'
    >>> say_yield(BrewYield(reason="dose"))
    'No yield yet: the dose was not noted.'
    """
    if found.percent is None or found.form is None:
        return REASONS[found.reason]
    limits = max(found.plus_minus, 0.1)
    return f"{found.percent:.1f} % ± {limits:.1f}, {FORMS[found.form]}"


def explain_yield(found: BrewYield) -> tuple[str, ...]:
    """Say how a yield came about and what it may be held against; nothing where there is none.

    Examples
    --------
    >>> explain_yield(BrewYield(reason="dose"))
    ()
    """
    if found.percent is None:
        return ()
    usual = (USUAL,) if found.estimated else ()
    return (*usual, PLUS_MINUS, NOT_CORRECTED, NO_COMPARING)
