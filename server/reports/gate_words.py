"""What the match gate says: of a brew before its cups go out, and of samples before sealing."""

from collections.abc import Mapping
from decimal import Decimal

from server.brewing.dilution import Advice, DilutionAdvice
from server.brewing.match import Verdict
from server.reports.brews import PropertyState
from server.reports.display import join_words, show_apart, show_number

PROPERTY = {
    Verdict.MATCHED: "{Name} matched: {worst} apart, limit {limit}.",
    Verdict.BORDERLINE: "{Name} only nearly matched: {worst} apart, limit {limit}.",
    Verdict.NOT_MATCHED: "{Name} not matched: {worst} apart, limit {limit}.",
    Verdict.NOT_MEASURED: "{Name} not compared: not read of both.",
}
SOME_READ = "{Name} not compared: not every brew is read ({worst} apart so far, limit {limit})."
MIXED = "{Name} not compared: found in two ways that do not compare."
APART = "{name} ({worst} apart, limit {limit})"

HELD = (
    "Brew {slot} waits: {what}. Brew again and read it anew, or release it with a reason; "
    "then pour."
)
NOT_READ = "Brew {slot} is not read yet: there is nothing to release. It may be poured unread."
A_CONTROL = "Brew {slot} belongs to a control: its brews may differ, and need no release."
NEEDS_REASON = (
    "Not matched: say in a few words why it goes out all the same. The finding will quote it, "
    "and will not speak of the part."
)

# In a finding

OVERRIDE = (
    "Brew {slot} of “{label}” was released although it did not match the other brews of its "
    "round: {what}. Reason given: {reason}."
)
OVERRIDES = (
    "Brews {brews} were released although they did not match the other brews of their round: "
    "{what}. Reason given: {reason}."
)
OVERRIDE_RIVAL = (
    "What was released unmatched is a rival explanation: what was noticed cannot be put down to "
    "the part, or to whatever else was meant to differ."
)
MENDED = "By a later reading it matched."
ALL_MENDED = "By later readings they matched."
SEALED_UNMATCHED = (
    "It was sealed although the trial brews were not matched: {what}. Reason given: {reason}."
)
SERVED = {
    Verdict.MATCHED: "The brews served were matched in {names}.",
    Verdict.BORDERLINE: "The brews served were only nearly matched in {names}.",
    Verdict.NOT_MATCHED: "Nor were the brews served matched in {names}.",
    Verdict.NOT_MEASURED: "The brews served were not all measured in {names}.",
}
TRIALS_NEARLY = "Before sealing, the trial brews were only nearly matched: {what}."
TRIALS_UNREAD = "Before sealing, the trial brews were not compared in {names}: not read of both."
NO_TRIALS = "No trial brews were matched before sealing."
ONE_RECIPE = (
    "By their recipes the samples are one, and nothing on record says what part differs: unless "
    "something that no recipe holds did, this was a null control, and what was told apart are "
    "brews."
)
ONE_BREW = (
    "In {servings} the cups of both samples came from one brew: these were a null control, and "
    "are not counted as the test."
)
ONE_BREW_RIGHT = "There {k} of {n} answers were right; guessing gives about {expected}."
NO_TEST = "There was no test: in every serving answered, both samples came from one brew."
ONE_BREW_TABLE = (
    "{Slots} came from one brew: what sets these cups apart is not that they are of two samples."
)

ADVICE = {
    Advice.DILUTE: (
        "Dilute {stronger}: {grams} ± {limits} g of water, of the same kind and as hot, to 100 g "
        "of it make it as strong as {weaker}. Read it again. Water matches strength, not "
        "extraction."
    ),
    Advice.REDIAL: (
        "Dial {stronger} in again instead of diluting it: extraction differs by more than a "
        "point, and water would match strength alone. Change grind, time or temperature (common "
        "practice, no source)."
    ),
    Advice.FORMS: (
        "Yields found by different formulas do not compare: water could make {stronger} and "
        "{weaker} equally strong, and how far they are extracted would stay unknown."
    ),
}


def say_advice(found: DilutionAdvice, names: Mapping[str, str]) -> str:
    """Say how two samples become alike; nothing if there is nothing to do.

    Examples
    --------
    >>> found = DilutionAdvice(Advice.DILUTE, "B", 13.84, 1.2)
    >>> say_advice(found, {"A": "A", "B": "B"})[:46]
    'Dilute B: 13.8 ± 1.2 g of water, of the same k'
    """
    weaker = next((name for level, name in names.items() if level != found.stronger), "")
    stronger = names.get(found.stronger, "")
    template = ADVICE.get(found.advice, "")
    grams, limits = f"{found.water_g:.1f}", f"{max(found.plus_minus_g, 0.1):.1f}"
    return template.format(stronger=stronger, weaker=weaker, grams=grams, limits=limits)


def say_property(one: PropertyState) -> str:
    """Say how one property matched.

    Examples
    --------
    >>> one = PropertyState(
    ...     "strength", "%TDS", True, Verdict.NOT_MATCHED, Decimal("0.12"), Decimal("0.05"), None
    ... )
    >>> say_property(one)
    'Strength not matched: 0.12 %TDS apart, limit 0.05 %TDS.'
    """
    template = PROPERTY[one.state]
    if one.state == Verdict.NOT_MEASURED:
        template = MIXED if one.mixed else template if one.worst is None else SOME_READ
    return template.format(Name=one.name.capitalize(), **_show(one))


def say_apart(properties: tuple[PropertyState, ...], state: Verdict = Verdict.NOT_MATCHED) -> str:
    """Name what is not matched, or in another state, and how far it lies apart.

    Examples
    --------
    >>> one = PropertyState(
    ...     "fill", "g", False, Verdict.NOT_MATCHED, Decimal(9), Decimal(2), ("A", "B")
    ... )
    >>> say_apart((one,))
    'fill (9 g apart, limit 2 g)'
    """
    apart = [one for one in properties if one.state == state]
    return join_words([APART.format(name=one.name, **_show(one)) for one in apart])


def _show(one: PropertyState) -> dict[str, str]:
    return {
        "worst": show_apart(one.worst or Decimal(0), one.unit),
        "limit": f"{show_number(one.limit)} {one.unit}",
    }
