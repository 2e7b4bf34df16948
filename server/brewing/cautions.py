"""Short cautions to show where work could hurt somebody, each with who has the say."""

from collections.abc import Mapping
from dataclasses import dataclass


@dataclass(frozen=True)
class Caution:
    """One caution: a word to find it by, what to do, and the authority to follow."""

    name: str
    text: str
    authority: str


HOT = Caution(
    "hot",
    "Serve and sip at 65 °C or below, never hotter. Very hot drinks scald: at about 65 °C skin "
    "burns in seconds, a child's sooner. Drinking above 65 °C is classed as probably carcinogenic "
    "(oesophagus), for its heat and not for the coffee in it.",
    "IARC Monographs, volume 116 (evaluation of 2016); burn services and local rules for scalds",
)
CAFFEINE = Caution(
    "caffeine",
    "The amount shown is an estimate for the plan, not advice to a person. For healthy adults up "
    "to 200 mg at once and 400 mg a day raise no concern; in pregnancy and when breastfeeding, "
    "200 mg a day. Spit, take something decaffeinated or spread the rounds over days.",
    "EFSA (2015); your own doctor in pregnancy, with a heart condition, anxiety or medication",
)
ALLERGENS = Caution(
    "allergens",
    "Ask everybody about allergies before serving. Milk and plant drinks, nuts, and crackers with "
    "wheat or sesame can harm; so can a spoon that touched them. Do not write the answers down.",
    "local food law (in the EU, Regulation 1169/2011) and the operator of the place",
)
HYGIENE = Caution(
    "hygiene",
    "Give everybody cups and a spoon of their own; never dip a used spoon into a shared cup. Wash "
    "hands before pouring. Whoever is ill does not pour or taste.",
    "local food hygiene rules",
)
NOT_FOOD_CONTACT = Caution(
    "not for food contact",
    "Drink nothing that has touched a part not sold for contact with food, and heat no part beyond "
    "its rating. Smell such a sample only, in an aired room. Use no solvent and no cleaner.",
    "the maker's declaration for the part; your food authority",
)
STRONG_TASTE = Caution(
    "strong taste",
    "If something tastes strongly of chemicals, or you see flakes or a strange colour: stop "
    "drinking, tell the others, keep a sample, and ask the supplier or the authority.",
    "your national food authority",
)
CLEANERS = Caution(
    "cleaners",
    "Cleaners and descalers burn skin and eyes and must not be drunk: never mix two of them, and "
    "treat a part with none that its maker does not allow. Rinse until nothing foams or smells, "
    "and let nobody taste before that. Let hot machines cool and lose their pressure first.",
    "the label and safety data sheet of the cleaner; the maker of the part; rules of the place",
)
SPIKING = Caution(
    "added to cups",
    "Add only what is food-grade, in amounts that its label and local rules allow in food or "
    "drink, measured and written down by somebody who knows how. Tell everybody beforehand what "
    "may be in the cups, and let them agree; never add an allergen that nobody was told of.",
    "your national food authority; an ethics board where research needs one",
)
MINORS = Caution(
    "minors and events",
    "Nobody under age tastes without a guardian who agrees. Small sips and decaffeinated coffee "
    "for the young: for them the guide is 3 mg of caffeine a day for each kg of body weight. At "
    "an event say what is poured, and keep water and a place to spit at hand.",
    "EFSA (2015); the organiser, and local law on minors",
)
CONSENT = Caution(
    "consent",
    "Say beforehand what is stored, who sees it, for how long, and how to have it deleted. A seat "
    "number is enough; no name is needed. Store nothing about health. How well an employee tastes "
    "is personal data.",
    "data protection law (in the EU, GDPR Articles 4 and 9) and your data protection authority",
)

CAUTIONS = (
    HOT, CAFFEINE, ALLERGENS, HYGIENE, NOT_FOOD_CONTACT, STRONG_TASTE, CLEANERS, SPIKING, MINORS,
    CONSENT,
)  # fmt: skip
"""All of them, in the order in which they matter at a table."""

PLACES: Mapping[str, tuple[Caution, ...]] = {
    "plan": (HOT, CAFFEINE, ALLERGENS, NOT_FOOD_CONTACT, MINORS, CONSENT),
    "added": (SPIKING, ALLERGENS),
    "soak": (NOT_FOOD_CONTACT, HOT),
    "bench": (HOT, NOT_FOOD_CONTACT, CLEANERS, STRONG_TASTE),
    "brew sheet": (HOT, STRONG_TASTE),
    "pour": (HOT, HYGIENE, ALLERGENS, STRONG_TASTE),
    "seats": (ALLERGENS, MINORS, CONSENT),
}
"""Which of them stand where the work is done."""


def find_cautions(place: str) -> tuple[Caution, ...]:
    """Return the cautions of a place.

    Examples
    --------
    >>> [one.name for one in find_cautions("soak")]
    ['not for food contact', 'hot']
    """
    return PLACES[place]


NOT_A_COMPLIANCE_TEST = "A tasting result is not a compliance test."
LOCAL_CODES = "Where local codes or a named authority say otherwise, follow them."
