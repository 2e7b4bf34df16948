"""The planned test and its planned analysis, as they are sealed."""

from decimal import Decimal
from enum import StrEnum
from typing import Any, Literal

from server.blinding.bench_plans import BenchPlan, Contrast, Ladder
from server.blinding.plain import Frozen, Growing, Number


class Pourer(StrEnum):
    """Who pours, and whether they stay; each stands for one blinding level."""

    TASTER = "taster"  # somebody who tastes also pours: open, level 0
    ALONE = "alone"  # one person pours, shuffles unseen and tastes: level 1
    PRESENT = "present"  # pours, does not taste, stays in the room: level 2
    ABSENT = "absent"  # pours, does not taste, leaves before the first sip: level 3
    RELAY = "relay"  # one person fills, another who knows only codes serves: level 4


class Pots(StrEnum):
    """Where the like cups of a serving come from."""

    SEPARATE = "separate"  # from different brews of the sample
    BLEND = "blend"  # every pour is a blend of at least two brews
    SINGLE = "single"  # one pot a sample and round: pots may be told apart, not samples


class Relief(StrEnum):
    """What was chosen against tired palates and too much caffeine."""

    NONE = ""
    SPIT = "spit"  # everybody spits
    SIPS = "sips"  # small sips; the rest of a cup is left
    DECAF = "decaf"  # decaffeinated coffee
    DAYS = "days"  # the rounds are spread over days


class Purpose(StrEnum):
    """Why a serving compares what it compares."""

    TEST = "test"  # the question itself: sample A against B
    NULL = "null"  # two brews of sample A: what brews alone do
    POSITIVE = "positive"  # sample A against C, a small known difference
    WARM_UP = "warm-up"  # an openly named first cup of a scored table, never analysed


class PositiveControl(Growing):
    """A known difference to sample A, and how large it is declared to be.

    As d′ or, where the method has none, as the share of judgements that notice; exactly one
    of them is given. It takes as many ``rounds`` as are planned for it. Where it is sample A
    with water, ``dilution_percent`` says how much to 100 g.
    """

    ADDED = frozenset({"size_share", "rounds", "dilution_percent"})

    label: str
    size_d_prime: Number | None
    size_share: Number | None = None
    rounds: int = 1
    dilution_percent: Number | None = None


class Direction(Frozen):
    """What differs, in one word for the ballot, and which sample has more of it."""

    attribute: str
    more: Literal["A", "B"]


class Similarity(Frozen):
    """What makes a plan a similarity test: a limit, and the risk of not seeing it reached.

    Attributes
    ----------
    limit
        Share of judgements that notice, which must not be reached.
    beta
        Largest chance of passing although the share is at the limit.
    """

    limit: Number
    beta: Number


class Sequential(Frozen):
    """A plan that may stop before all its rounds are served, as the answers decide.

    After every block of complete rounds the count meets Wald's lines; the last planned round
    ends the test in any case.

    Attributes
    ----------
    beta
        Nominal risk of missing a difference of the size that matters.
    every
        Rounds of a block.
    at_end
        What becomes of a count between the lines after the last round.
    """

    beta: Number
    every: int
    at_end: Literal["no decision", "nearer line"] = "no decision"


class Series(Frozen):
    """A rising series: what is added to sample A, and how much of it round by round.

    Levels ``B``, ``C`` and so on are sample A with the first amount, the second, and so on.

    Attributes
    ----------
    substance
        What is added, in the leader's words.
    unit
        Of the steps, such as ``g/L`` or ``%``.
    steps
        Concentrations, rising; one round each.
    """

    substance: str
    unit: str
    steps: tuple[Number, ...]


class SeatGroup(Frozen):
    """Seats that are looked at besides the whole, and what the leader calls them."""

    label: str
    seats: tuple[int, ...]


class LookCheck(Frozen):
    """Servings judged by eye before sealing: positions, from 1, of odd and of picked cups."""

    odd: tuple[int, ...]
    picked: tuple[int, ...]
    cue: str = ""

    @property
    def found(self) -> int:
        """How often the odd cup was found by looking."""
        return sum(one == other for one, other in zip(self.odd, self.picked, strict=False))


class TablePlan(Growing):
    """What a scored table is: the sheet, and what stands before a seat in one sitting.

    Attributes
    ----------
    sheet
        The score sheet as plain JSON; nothing here looks into it.
    style
        ``own``: every seat has its own cups; ``shared``: everybody walks around the same bowls.
    bowls
        Cups of a sample before one seat, or bowls of it on one table.
    scattered
        Each of these has a code of its own; otherwise they stand side by side under one code.
    duplicates
        Levels that stand on the table a second time under another code.
    warm_up
        Level of an openly named first cup, which is never analysed; empty if there is none.
    reference
        Level of the house reference, blind on every table; empty if there is none.
    block
        Different samples on one table, reference and duplicates among them; 0: all.
    primary
        Attribute declared beforehand as the one that counts; empty if there is none.
    sip_limit_c
        A check bowl must read at most this before the first sip, in °C.
    calibration
        What stands open before each sitting's codes, to be talked about and never scored, in
        words for everybody; empty if there is none.
    prior_scale
        For Bayes factors: where two samples differ, half of all differences are smaller than
        so many spreads of people's own differences; None if nothing was stated beforehand.
    method
        Name of the method that the table serves and its analysis follows; empty if it is a
        sheet of one's own.
    order
        Levels in the order that is expected of a ranking, its first place first; empty if
        none was declared beforehand.
    """

    ADDED = frozenset({"calibration", "prior_scale", "method", "order"})

    sheet: dict[str, Any]
    style: Literal["own", "shared"] = "own"
    bowls: int = 1
    scattered: bool = False
    duplicates: tuple[str, ...] = ()
    warm_up: str = ""
    reference: str = ""
    block: int = 0
    primary: str = ""
    sip_limit_c: Number = Decimal(65)
    calibration: str = ""
    prior_scale: Number | None = None
    method: str = ""
    order: tuple[str, ...] = ()

    @property
    def shared(self) -> bool:
        """Whether the same bowls stand before every seat."""
        return self.style == "shared"

    @property
    def laps(self) -> int:
        """How often a serving goes through its samples: each scattered bowl is met alone."""
        return self.bowls if self.scattered else 1

    @property
    def grouped(self) -> int:
        """Bowls under one code."""
        return 1 if self.scattered else self.bowls


class Plan(Growing):
    """The planned test and its planned analysis.

    Attributes
    ----------
    question, difference
        The leader's own words; they reach no assessor.
    method
        Name in ``methods.registry``.
    alpha
        Planned level of the test; of both sides together where either may be chosen more.
    size_d_prime, size_share
        The size that matters: as d′ or, where the method has none, as the share of
        judgements that notice. Exactly one of them is given.
    assessors, rounds, spare_seats
        Seats that count, servings of the test a seat and sitting, and seats drawn in reserve.
    sittings
        How often everybody sits down to so many rounds, on one day or on several.
    direction
        What is asked for by name, and which sample has more of it; None where nobody says.
    attribute
        What is asked for by name where either sample may have more of it; else empty.
    open_cups
        Levels that everybody tastes openly, by name, before the first code; else empty.
    told_shares
        Everybody is told that half of the servings are of either kind.
    no_preference
        What becomes of answers for neither sample: ``forced``, there are none; ``left_out``,
        the test is about the others; ``split_evenly``, each sample gets half of them.
    extends
        Seal of an earlier tasting of the same question whose result was known when this
        one was planned; empty if there is none. It stays a tasting of its own.
    null_control, positive_control
        Controls; their rounds are drawn among the others, one for the null control.
    swallow
        Everybody swallows, or everybody spits.
    cup_ml, pot_ml, loss_ml
        Portion of a cup, what of a pot fills cups, and what of it besides goes elsewhere
        (readings, a check cup, dregs), in millilitres.
    pots
        Where the like cups of a serving come from.
    tds_limit, temperature_limit, fill_limit
        Largest difference between samples that still counts as matched,
        in %TDS, °C and g a cup.
    dilution_percent
        Of a dilution test: sample B is sample A with so many grams of water to 100 g; else None.
    look_check
        What looking alone could tell, if that was tried.
    relief, days
        What was chosen where so many cups are a lot for one person, and over how many days
        the rounds of a panel are spread.
    similarity
        Declared where the test is to show that few notice; None where it is to show that
        some do. Its limit is the size that matters.
    sequential
        How the answers decide when to stop; None where all planned servings are served.
    several
        What decides where a person answers several times, and is declared: ``pooled``, all
        answers together; ``people``, the mean of people like these. Empty: all answers
        together, and how people differ is not analysed.
    groups
        Secondary comparisons: groups of seats, each to be tested by itself besides.
    stop_rule
        ``fixed``: all planned servings, then close; ``sequential``: as `sequential` says.
    table
        A scored table; there each sitting is one serving (``rounds`` is 1).
    series
        A rising series of concentrations, one round a step; None of every other test.
    extraction_limit, age_limit
        As the limits above, of extraction in points and of the minutes from a brew's end to
        the sip; None: not judged.
    contrast
        What the samples differ in; it limits what a finding may speak of.
    bench
        Recipes, specimens and trial brews behind the samples; None if none is known.
    ladder
        Which step of a ladder of part states or doses this is; None if of none.
    smell_only
        Nothing is drunk: everybody smells what stands in the cups.
    """

    question: str
    difference: str
    ADDED = frozenset(
        {"sittings", "direction", "size_share", "extends", "table", "attribute", "no_preference"}
        | {"relief", "days", "similarity", "sequential", "several", "groups"}
        | {"open_cups", "told_shares", "series", "dilution_percent"}
        | {"loss_ml", "extraction_limit", "age_limit", "contrast", "bench", "ladder", "smell_only"}
    )

    method: str
    standard: str
    alpha: Number
    size_d_prime: Number | None
    size_share: Number | None = None
    assessors: int
    rounds: int
    spare_seats: int
    null_control: bool = False
    positive_control: PositiveControl | None = None
    pourer: Pourer
    swallow: bool
    cup_ml: Number
    pot_ml: Number
    loss_ml: Number = Decimal(0)
    pots: Pots
    tds_limit: Number
    temperature_limit: Number
    fill_limit: Number = Decimal(2)
    dilution_percent: Number | None = None
    look_check: LookCheck | None = None
    stop_rule: Literal["fixed", "sequential"] = "fixed"
    sittings: int = 1
    direction: Direction | None = None
    attribute: str = ""
    no_preference: Literal["forced", "left_out", "split_evenly"] = "forced"
    extends: str = ""
    open_cups: Literal["", "A", "AB"] = ""
    told_shares: bool = False
    table: TablePlan | None = None
    relief: Relief = Relief.NONE
    days: int = 1
    similarity: Similarity | None = None
    sequential: Sequential | None = None
    several: Literal["", "pooled", "people"] = ""
    groups: tuple[SeatGroup, ...] = ()
    series: Series | None = None
    extraction_limit: Number | None = None
    age_limit: Number | None = None
    contrast: Contrast = ""
    bench: BenchPlan | None = None
    ladder: Ladder | None = None
    smell_only: bool = False

    @property
    def alone(self) -> bool:
        """Whether one person pours and tastes: then the key lies under the cups."""
        return self.pourer == Pourer.ALONE

    @property
    def single_cups(self) -> bool:
        """Whether every cup is a brew of its own, as an espresso is: a pot fills one."""
        small = self.pots == Pots.SEPARATE and self.pot_ml == self.cup_ml
        return small and self.table is None

    @property
    def round_age_limit(self) -> Decimal | None:
        """Minutes by which brews of a round may differ in age; None: not judged.

        Single cups are brewed seat by seat, so that a round's brews are never of one age.
        """
        return None if self.single_cups else self.age_limit

    @property
    def asked_for(self) -> str:
        """What the question names, whether or not a sample is said to have more of it."""
        return self.direction.attribute if self.direction else self.attribute

    @property
    def trials(self) -> int:
        """Planned number of servings of the test itself."""
        return self.assessors * self.rounds * self.sittings

    @property
    def controls(self) -> tuple[Purpose, ...]:
        """Planned controls, the null control first."""
        null = (Purpose.NULL,) if self.null_control else ()
        return null if self.positive_control is None else (*null, Purpose.POSITIVE)

    @property
    def control_rounds(self) -> tuple[Purpose, ...]:
        """What each round of a control is for."""
        null = (Purpose.NULL,) if self.null_control else ()
        positive = self.positive_control.rounds if self.positive_control else 0
        return (*null, *[Purpose.POSITIVE] * positive)

    @property
    def total_rounds(self) -> int:
        """Servings a seat, controls and warm-up cups included."""
        warm_ups = self.sittings if self.table and self.table.warm_up else 0
        return self.rounds * self.sittings + len(self.control_rounds) + warm_ups
