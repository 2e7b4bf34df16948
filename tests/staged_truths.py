"""What is the case in the sample sessions, whatever their answers say."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from server.blinding.plans import Purpose

TEA_BAR = {
    "pourer": "absent",
    "assessors": "8",
    "rounds": "3",
    "spare_seats": "1",
    "size_percent": "45",
    "cup_ml": "35",
    "pot_ml": "500",
    "swallow": "on",
}
STRENGTHS = {"A": "0.42", "B": "0.42", "C": "0.37"}
HEATS = {"A": "57.5", "B": "57.5", "C": "57.0"}
FILLS = {"A": "35", "B": "35", "C": "35"}
COMMENTS = {
    True: ("flat, a bit stale", "like damp paper", "duller at the end", ""),
    False: ("", "", "no idea", "all alike to me"),
}


@dataclass(frozen=True)
class Truth:
    """What is the case in an invented tasting, whatever its answers say.

    Attributes
    ----------
    file, title
        Name of the file, and of the tasting in a list.
    seed
        Of everything drawn by chance; another one for each tasting.
    question, samples, difference
        As the leader's form asks for them; sample A first.
    verdict
        What the finding must conclude.
    noticed, in_null, in_positive
        Share of servings in which the difference is tasted, of the test and of each control;
        all other answers are guesses.
    plan
        Where the leader's form differs from that of `TEA_BAR`.
    tds, celsius, fill
        Strength (%TDS), temperature at service and fill (g) by sample, before reading errors.
    poured
        Who really poured, as closing asks.
    stop_after
        Answers after which somebody looks at key and results, and the leader closes.
    lost
        Alone: the number of a serving of which one mark could not be read.
    neither
        Share of servings in which neither cup is liked better; of the others `noticed` go to
        sample B, and the rest to either.
    apart, released
        Strength of single pots that went otherwise, by slot; and why brews that did not match
        went out all the same. Then every pot of a round is read before the first is poured.
    odd
        Pots of which something is tasted, by slot: in what share of their servings, if more
        than in others.
    comments
        What is written after a serving in which something was noticed, and after others.
    """

    file: str
    title: str
    seed: int
    question: str
    samples: tuple[str, str]
    difference: str
    verdict: str
    noticed: float
    in_null: float = 0.0
    in_positive: float = 0.0
    plan: Mapping[str, str] = field(default_factory=dict)
    tds: Mapping[str, str] = field(default_factory=lambda: STRENGTHS)
    celsius: Mapping[str, str] = field(default_factory=lambda: HEATS)
    fill: Mapping[str, str] = field(default_factory=lambda: FILLS)
    poured: str = "absent"
    stop_after: int | None = None
    lost: int | None = None
    neither: float = 0.0
    apart: Mapping[str, str] = field(default_factory=dict)
    released: str = ""
    odd: Mapping[str, float] = field(default_factory=dict)
    comments: Mapping[bool, Sequence[str]] = field(default_factory=lambda: COMMENTS)

    @property
    def form(self) -> dict[str, str]:
        """The leader's form."""
        named = {"question": self.question, "difference": self.difference}
        labels = dict(zip(("sample_a", "sample_b"), self.samples, strict=True))
        return TEA_BAR | named | labels | dict(self.plan)

    def share(self, purpose: Purpose) -> float:
        """Return in what share of its servings something is noticed."""
        return {Purpose.NULL: self.in_null, Purpose.POSITIVE: self.in_positive}.get(
            purpose, self.noticed
        )


TRUTHS = (
    Truth(
        file="fresh-cartridge",
        title="Sample: fresh cartridge",
        seed=2031051401,
        question="Does a fresh filter cartridge leave a taste in our green tea?",
        samples=("flushed cartridge, 30 L through it", "fresh cartridge, 1 L through it"),
        difference="how much water has run through the filter cartridge",
        plan={"null_control": "on"},
        verdict="told_apart",
        noticed=0.6,
    ),
    Truth(
        file="rinsed-caddy",
        title="Sample: rinsed caddy",
        seed=2031051402,
        question="Does tea kept in the rinsed tin caddy pick up a taste?",
        samples=("kept in the glass caddy", "kept in the rinsed tin caddy"),
        difference="the caddy the leaves were kept in for a week",
        plan={
            "assessors": "10",
            "size_percent": "50",
            "positive_control": "on",
            "positive_label": "glass caddy, 12 % water added",
            "positive_percent": "90",
        },
        verdict="not_detected",
        noticed=0.0,
        in_positive=0.95,
    ),
    Truth(
        file="two-strainers",
        title="Sample: two strainers",
        seed=2031051403,
        question="Does the nylon strainer change our breakfast tea?",
        samples=("steel strainer", "nylon strainer"),
        difference="the mesh the tea is poured through",
        plan={"assessors": "5", "rounds": "2", "size_percent": "30"},
        verdict="inconclusive_weak",
        noticed=0.15,
    ),
    Truth(
        file="warming-plate",
        title="Sample: warming plate",
        seed=2031051404,
        question="Does the pot on the warming plate taste of the plate?",
        samples=("kept in the flask", "kept on the warming plate"),
        difference="twenty minutes on the warming plate instead of in the flask",
        verdict="told_apart_not_matched",
        noticed=0.7,
        tds={"A": "0.42", "B": "0.56"},
        celsius={"A": "57.5", "B": "57.0"},
    ),
    Truth(
        file="steeped-too-long",
        title="Sample: steeped too long",
        seed=2031051461,
        question="Does the cork stopper of the flask leave a taste in our black tea?",
        samples=(
            "kept in the flask with the glass stopper",
            "kept in the flask with the cork stopper",
        ),
        difference="the stopper of the flask",
        plan={"pot_ml": "300", "age_limit": "10"},
        verdict="told_apart_not_matched",
        noticed=0.6,
        apart={"B3": "0.56"},
        released="the guests were seated and the kettle was empty",
    ),
    Truth(
        file="one-urn-each",
        title="Sample: one urn each",
        seed=2031051405,
        question="Does the gasket of the new urn leave a taste?",
        samples=("old urn", "new urn"),
        difference="the urn: old, or new with its first gasket",
        plan={"pot_ml": "2000", "pots": "single"},
        verdict="told_apart_pots",
        noticed=0.6,
    ),
    Truth(
        file="stopped-early",
        title="Sample: stopped early",
        seed=2031051406,
        question="Does descaling leave a taste after three rinses?",
        samples=("kettle not descaled", "kettle descaled, rinsed three times"),
        difference="descaling the day before",
        verdict="exploratory",
        noticed=0.45,
        poured="present",
        stop_after=14,
    ),
    Truth(
        file="cotton-bag-alone",
        title="Sample: cotton bag, tasted alone",
        seed=2031051407,
        question="Do I taste the cotton bag in our cold-steeped tea?",
        samples=("steeped loose", "steeped in the cotton bag"),
        difference="the cotton bag the leaves are steeped in",
        plan={"pourer": "alone", "size_percent": "90", "sittings": "2"},
        verdict="told_apart",
        noticed=0.9,
        poured="alone",
        lost=4,
    ),
    Truth(
        file="tin-lid-alone",
        title="Sample: tin lid, pairs tasted alone",
        seed=2031051408,
        question="Does the tin lid make our green tea taste metallic?",
        samples=("steeped under the glass lid", "steeped under the tin lid"),
        difference="the lid on the pot",
        plan={
            "pourer": "alone",
            "rounds": "4",
            "size_percent": "80",
            "method": "2-afc",
            "attribute": "metallic",
            "more": "B",
            "sittings": "3",
        },
        verdict="inconclusive_unshown",
        noticed=0.0,
        poured="alone",
    ),
    Truth(
        file="second-infusion",
        title="Sample: second infusion, a tetrad",
        seed=2031051409,
        question="Is our second infusion told from the first, brewed as strong?",
        samples=("first infusion", "second infusion, steeped to the same strength"),
        difference="the infusion: first or second of the same leaves",
        plan={"method": "tetrad"},
        verdict="told_apart",
        noticed=0.6,
    ),
    Truth(
        file="two-kettles",
        title="Sample: two kettles, two cups of five",
        seed=2031051410,
        question="Does the enamel kettle change our white tea?",
        samples=("water from the steel kettle", "water from the enamel kettle"),
        difference="the kettle the water is boiled in",
        plan={
            "rounds": "2",
            "cup_ml": "20",
            "method": "two-out-of-five",
            "null_control": "on",
            "positive_control": "on",
            "positive_label": "steel kettle, 12 % water added",
            "positive_percent": "80",
        },
        verdict="not_detected",
        noticed=0.0,
        in_positive=0.9,
        fill={"A": "20", "B": "20", "C": "20"},
    ),
    Truth(
        file="lidded-jar",
        title="Sample: lidded jar, a duo-trio",
        seed=2031051441,
        question="Does tea left in the lidded jar for an hour taste of it?",
        samples=("poured from the flask", "an hour in the lidded jar"),
        difference="an hour in the lidded jar instead of in the flask",
        plan={"rounds": "4", "method": "duo-trio"},
        verdict="told_apart",
        noticed=0.75,
    ),
    Truth(
        file="house-blend-again",
        title="Sample: the house blend again, a duo-trio",
        seed=2031051442,
        question="Is the new lot told from our house blend, which everybody knows?",
        samples=("house blend, the usual lot", "house blend, the new lot"),
        difference="the lot of the house blend",
        plan={
            "assessors": "10",
            "rounds": "4",
            "size_percent": "50",
            "method": "duo-trio-constant",
            "positive_control": "on",
            "positive_label": "usual lot, 12 % water added",
            "positive_percent": "90",
        },
        verdict="not_detected",
        noticed=0.0,
        in_positive=1.0,
    ),
    Truth(
        file="long-steep",
        title="Sample: a minute longer, a 3-AFC",
        seed=2031051443,
        question="Does a minute more of steeping make our green tea more bitter?",
        samples=("steeped two minutes", "steeped three minutes, brewed as strong"),
        difference="the minutes of steeping",
        plan={"rounds": "2", "method": "3-afc", "attribute": "bitterness", "more": "B"},
        verdict="told_apart",
        noticed=0.6,
        comments={True: ("bites at the end", "harsher", ""), False: ("", "not sure")},
    ),
    Truth(
        file="rooftop-tank",
        title="Sample: rooftop tank",
        seed=2031051414,
        question="Does water from the rooftop tank change how astringent our black tea is?",
        samples=("mains water", "water from the rooftop tank"),
        difference="where the water comes from",
        plan={"size_percent": "60", "method": "paired-comparison", "attribute": "astringent"},
        verdict="leans",
        noticed=0.55,
        comments={True: ("dries the tongue", "grips more", ""), False: ("", "hard to say")},
    ),
    Truth(
        file="older-bag",
        title="Sample: a pot from the older bag",
        seed=2031051434,
        question="Does our clay pot make the barley tea more earthy?",
        samples=("brewed in the glass pot", "brewed in the clay pot"),
        difference="the pot the tea is brewed in",
        plan={
            "assessors": "30",
            "rounds": "1",
            "size_percent": "50",
            "pot_ml": "650",
            "method": "2-afc",
            "attribute": "earthy",
            "more": "B",
            "loss_ml": "30",
        },
        verdict="told_apart_one_brew",
        noticed=0.0,
        odd={"B1": 1.0},
        comments={True: ("like a cellar", "wet clay", ""), False: ("", "no idea", "alike")},
    ),
    Truth(
        file="two-cold-teas",
        title="Sample: two cold teas",
        seed=2031051412,
        question="Which of two cold teas shall go on the summer card?",
        samples=("cold tea with lemon balm", "cold tea with mint"),
        difference="the herb that is steeped with the tea",
        plan={
            "assessors": "36",
            "rounds": "1",
            "size_percent": "60",
            "method": "paired-preference",
            "no_preference": "left_out",
        },
        verdict="no_lean",
        noticed=0.0,
        celsius={"A": "9.0", "B": "9.0"},
        neither=0.1,
        comments={True: ("", "fresh"), False: ("", "like a garden", "not too sweet", "cool")},
    ),
    Truth(
        file="slate-lid",
        title="Sample: slate lid, stopped as planned",
        seed=2031051422,
        question="Does our iced tea pick up a taste in the jug with the slate lid?",
        samples=("jug with its glass lid", "jug with the slate lid"),
        difference="the lid the jug stood under overnight",
        plan={
            "assessors": "6",
            "rounds": "6",
            "size_percent": "50",
            "stop_rule": "sequential",
            "every": "1",
            "beta": "0.1",
            "relief": "spit",
        },
        verdict="told_apart",
        noticed=0.7,
        celsius={"A": "8.0", "B": "8.0"},
    ),
    Truth(
        file="rinse-water-guests",
        title="Sample: rinse water, forty-six guests",
        seed=2031051421,
        question="May we rinse our pots with softened water without guests noticing?",
        samples=("pots rinsed with plain water", "pots rinsed with softened water"),
        difference="the water the pots are rinsed with",
        plan={
            "assessors": "46",
            "rounds": "1",
            "size_percent": "30",
            "shows": "few",
            "beta": "0.05",
        },
        verdict="few",
        noticed=0.02,
    ),
    Truth(
        file="spring-harvest",
        title="Sample: spring harvest",
        seed=2031051413,
        question="Do we know this spring's green tea from last year's?",
        samples=("this spring's green tea", "last year's green tea"),
        difference="the year of the harvest",
        plan={
            "assessors": "10",
            "rounds": "4",
            "method": "a-not-a",
            "open_cups": "A",
            "told_shares": "on",
        },
        verdict="told_apart",
        noticed=0.6,
    ),
    Truth(
        file="iron-pot",
        title="Sample: iron pot",
        seed=2031051415,
        question="Does the iron pot change our smoked tea?",
        samples=("brewed in the glass pot", "brewed in the iron pot"),
        difference="the pot the tea is brewed in",
        plan={"assessors": "6", "rounds": "4", "method": "same-different"},
        verdict="inconclusive_weak",
        noticed=0.1,
        comments={True: ("one is flatter",), False: ("", "much the same to me", "no idea")},
    ),
)
