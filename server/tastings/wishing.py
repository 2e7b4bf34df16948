"""What a leader answers the planner: a few taps, and numbers that have a default."""

from collections.abc import Mapping
from decimal import Decimal
from enum import StrEnum
from typing import Annotated, Any

from pydantic import BaseModel, Field, StringConstraints, ValidationError

from server.blinding.bench_plans import Contrast
from server.methods.purposes import Known
from server.tastings.planning import Comma
from server.tastings.refusals import Invalid


class Aim(StrEnum):
    """What the leader wants to know."""

    APART = "apart"
    MORE = "more"
    LIKED = "liked"
    CONTROL = "control"
    ORDER = "order"
    THRESHOLD = "threshold"
    UNNOTICED = "unnoticed"


class Size(StrEnum):
    """How large a difference matters; common practice, no source."""

    LARGE = "large"
    MIDDLING = "middling"
    SMALL = "small"
    OWN = "own"  # as d′


class Minded(StrEnum):
    """What the leader minds most."""

    CUPS = "cups"
    ANSWERS = "answers"
    POTS = "pots"
    MINUTES = "minutes"
    CAFFEINE = "caffeine"


D_PRIMES = {Size.LARGE: 2.0, Size.MIDDLING: 1.5, Size.SMALL: 1.0}
PREFERRED = {Size.LARGE: 0.75, Size.MIDDLING: 0.67, Size.SMALL: 0.6}
"""Share that likes the one sample better, of every size: liking has no d′."""


class Wish(BaseModel):
    """The answers."""

    difference: Annotated[str, StringConstraints(strip_whitespace=True, max_length=300)] = ""
    contrast: Contrast = ""
    aim: Aim = Aim.APART
    known: Known = Known.NOTHING
    familiar: bool = False
    lingers: bool = False
    alone: bool = False
    size: Size = Size.MIDDLING
    d_prime: Annotated[Decimal, Comma, Field(ge=Decimal("0.3"), le=4, max_digits=5)] = Decimal(1)
    assessors: Annotated[int, Comma, Field(ge=1, le=60)] = 6
    rounds: Annotated[int, Comma, Field(ge=1, le=12)] = 3
    days: Annotated[int, Comma, Field(ge=1, le=12)] = 1
    swallow: bool = True
    decaf: bool = False
    mind: Minded = Minded.CUPS

    @property
    def people(self) -> int:
        """How many taste."""
        return 1 if self.alone else self.assessors

    @property
    def each(self) -> int:
        """Servings of one person, over all days."""
        return self.rounds * self.days

    @property
    def distance(self) -> float:
        """The size that matters as d′."""
        return float(self.d_prime) if self.size == Size.OWN else D_PRIMES[self.size]

    @property
    def split(self) -> float:
        """The size that matters as the share that likes one sample better."""
        return PREFERRED[Size.SMALL if self.size == Size.OWN else self.size]


MESSAGES = {
    "difference": "Write the one thing that differs, in up to 300 characters.",
    "d_prime": "A d′ from 0.3 to 4.",
    "assessors": "How many people taste? A whole number from 1 to 60.",
    "rounds": "Servings each: a whole number from 1 to 12.",
    "days": "Days: a whole number from 1 to 12.",
}
TICKS = ("familiar", "lingers", "alone", "decaf")


def empty_wish() -> dict[str, str]:
    """Return the form as it is before anything is answered."""
    fields = Wish.model_fields.items()
    given = {name: str(field.default) for name, field in fields if name not in TICKS}
    return given | dict.fromkeys(TICKS, "") | {"swallow": "on"}


def read_wish(form: Mapping[str, str]) -> Wish:
    """Check the answers.

    Raises
    ------
    Invalid
        With one message for each field that cannot be taken.
    """
    given: dict[str, Any] = {name: form[name] for name in Wish.model_fields if name in form}
    given |= {name: form.get(name, "") == "on" for name in (*TICKS, "swallow")}
    if given.get("size") != Size.OWN:
        given.pop("d_prime", None)  # folded away: whatever is typed there
    try:
        return Wish.model_validate(given)
    except ValidationError as error:
        wrong = {str(one["loc"][0]) for one in error.errors()}
        raise Invalid(**{one: MESSAGES.get(one, "Choose one of these.") for one in wrong}) from None
