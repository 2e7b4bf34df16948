"""What a seal says of the bench: recipes, specimens, trial brews, the step of a ladder."""

from decimal import Decimal
from typing import Any, Literal

from pydantic import Field

from server.blinding.plain import Frozen, Growing, Number

Contrast = Literal["", "soak", "part in pot", "same brewer", "whole brewer"]
"""What the two samples differ in; empty if nobody said, or if it is none of these.

``soak``: plain hot water that stood with the part, or without it. ``part in pot``: the part put
into one of two like pots of one brew. ``same brewer``: brewed with the part, without it or with
another one, in the same brewer. ``whole brewer``: two brewers, which differ in more than a part.
"""


class PlannedSpecimen(Frozen):
    """A piece that a sample is brewed with, its state and the brews it had made when sealed."""

    label: str
    part: str = ""
    state: str = ""
    brews: int = 0


class TrialBrew(Frozen):
    """A brew made before sealing: of which level, and what was done and read (plain JSON)."""

    level: str
    brew: dict[str, Any]


class Ladder(Frozen):
    """Which step of a ladder a tasting is.

    Attributes
    ----------
    line
        What all tastings of one ladder share: a UUID as text.
    kind
        ``state``: the part new, washed, after so many brews; ``dose``: so many like parts.
    title
        The ladder's question, in the leader's words.
    step
        This step in words, such as ``after 5 brews``.
    at
        Its place on the ladder: brews made, or number of parts.
    """

    line: str
    kind: Literal["state", "dose"]
    title: str
    step: str
    at: int


class Soak(Frozen):
    """How water stood with a part: what two like jars differ in.

    Attributes
    ----------
    part, parts
        What stood in one of the jars, and how many of it; none in a step that shows what
        jars alone do.
    mass_g, surface_cm2
        Of one part; the surface if it is known.
    state, brews
        ``first`` time in water, ``washed`` since, or in use, after so many brews.
    rating_c, celsius
        What heat its maker allows, and what heat it stood in.
    water, water_g
        Which water, and how much of it in each jar.
    minutes, exposure
        Contact as in use, and whether it stood as long or ten times as long.
    food_contact
        Whether its maker sells it for contact with food.
    """

    part: str
    parts: int
    mass_g: Number
    surface_cm2: Number | None = None
    state: Literal["first", "washed", "used"] = "first"
    brews: int = 0
    rating_c: Number
    celsius: Number
    water: str
    water_g: Number
    minutes: Number
    exposure: Literal["real", "tenfold"] = "real"
    food_contact: bool

    @property
    def stood_minutes(self) -> Decimal:
        """Minutes in the water."""
        return self.minutes * (10 if self.exposure == "tenfold" else 1)

    @property
    def water_each_g(self) -> Decimal:
        """Grams of water to one part."""
        return self.water_g / max(self.parts, 1)


class BenchPlan(Growing):
    """The bench behind a tasting, as it is sealed.

    Attributes
    ----------
    recipes
        Level to recipe, as plain JSON; nothing here looks into it.
    specimens
        Level to the pieces it is brewed with; a level without the part has none.
    trials
        Brews by which the samples were matched before sealing.
    unmatched_reason
        Why it was sealed although trial brews were not matched; empty if they were, or
        if there were none.
    soak
        How water stood with a part, where the contrast is a soak.
    """

    ADDED = frozenset({"soak"})

    recipes: dict[str, dict[str, Any]] = Field(default_factory=dict)
    specimens: dict[str, tuple[PlannedSpecimen, ...]] = Field(default_factory=dict)
    trials: tuple[TrialBrew, ...] = ()
    unmatched_reason: str = ""
    soak: Soak | None = None
