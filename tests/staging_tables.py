"""Stage invented scored tables from a stated truth, and write them as sample sessions.

``python -m tests.staging_tables`` writes every session anew; the draw is seeded and the
times are set, so the files change only when the program does.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from random import Random
from typing import Any
from uuid import UUID

from server.blinding import chain
from server.blinding.events import CHECKLIST, Event, Kind
from server.blinding.plans import Plan
from server.blinding.portable import build_document
from server.blinding.seal import canonical, seal_hash
from server.blinding.sealed import PlannedSample, PlannedServing, SealedTasting
from server.blinding.table import draw_table
from server.blinding.table_stands import is_scored, list_stands
from server.methods.registry import SCORED
from server.pages.assets import SAMPLE_SESSIONS
from server.sheets.cards import read_sheet, write_sheet
from server.sheets.places import Place, list_places
from server.sheets.scales.category import Category
from server.sheets.scales.comment import Comment
from server.sheets.scales.control import Control
from server.sheets.scales.defect import Defect
from server.sheets.scales.line import Line
from server.sheets.scales.ranking import Ranking
from server.sheets.sheet import Attribute, Sheet, add_words, is_own
from server.sheets.starters import get_starter
from server.sheets.values import Answer, merge

START = datetime(2031, 6, 2, 9, tzinfo=UTC)


class Tale:
    """Events after a seal, told one by one; times go on by themselves."""

    def __init__(self, sealed: SealedTasting, seed: int = 1) -> None:
        self.sealed, self.events, self._chance = sealed, list[Event](), Random(seed)
        self.seal, self._now = seal_hash(canonical(sealed)), START

    def tell(self, kind: Kind, **body: Any) -> None:
        """Add an event."""
        self._now += timedelta(seconds=7)
        body["at"] = self._now.isoformat(timespec="milliseconds")
        head = self.events[-1].head if self.events else self.seal
        salt = f"{self._chance.getrandbits(128):032x}"
        self.events.append(chain.link(head, len(self.events) + 1, kind, body, salt))

    def begin(self) -> "Tale":
        """Tick off the room, seat everybody."""
        for item in CHECKLIST:
            self.tell(Kind.CHECKED, item=item, done=True)
        self.tell(Kind.SERVING_BEGAN)
        for seat in self.sealed.seats:
            if not seat.spare:
                self.tell(Kind.SEAT_TAKEN, seat=seat.number)
        return self

    def brew(self, strength: Mapping[str, str] | None = None, error: int = 0) -> "Tale":
        """Note readings of every pot, in hundredths and tenths off by up to ``error``.

        Strength by sample, in %TDS; 1.30 where nothing else is said.
        """
        for slot in self.sealed.slots:
            true = Decimal((strength or {}).get(slot.sample, "1.30"))
            off = [self._chance.randint(-error, error) for _ in range(4)] if error else [0] * 4
            tds = [str(true + Decimal(one) / 100) for one in off[:3]]
            celsius = str(Decimal("62.0") + Decimal(off[3]) / 10)
            self.tell(
                Kind.BREWED, slot=slot.name, tds=tds, temperature_c=celsius, fill_g="40",
                time=None, note="",
            )  # fmt: skip
        return self

    def answer(
        self, serving: PlannedServing, body: Mapping[str, Any], kind: Kind = Kind.ANSWERED
    ) -> "Tale":
        """Let a seat lock its table."""
        if kind == Kind.ANSWERED:
            self.tell(Kind.CODES_CONFIRMED, serving=str(serving.id))
        self.tell(
            kind, serving=str(serving.id), **{"pass": 1}, revision=1, answer=dict(body),
            client_key=f"k{len(self.events)}", source="device",
        )  # fmt: skip
        return self

    def close(self, reason: str = "", pourer: str = "absent") -> "Tale":
        """Close the tasting and open its key."""
        self.tell(Kind.CLOSED, reason=reason, pourer=pourer)
        self.tell(Kind.UNSEALED, seal_matches=True)
        return self


def list_scored(sealed: SealedTasting) -> list[PlannedServing]:
    """List the servings to be scored of the seats that count."""
    spare = {seat.number for seat in sealed.seats if seat.spare}
    return [one for one in sealed.servings if is_scored(sealed, one) and one.seat not in spare]


def fill_sheet(
    sealed: SealedTasting,
    serving: PlannedServing,
    give: Any,
    words: Sequence[str] = (),
    minutes: int = 6,
) -> dict[str, Any]:
    """Fill a sheet by ``give(attribute, sample, slot, time)``; what is None is left empty."""
    assert sealed.plan.table
    sheet = add_words(read_sheet(sealed.plan.table.sheet), words)
    stands = list_stands(serving)
    said: dict[Place, Any] = {}
    for place in list_places(sheet, stands):
        attribute = sheet.find_attribute(place.attribute)
        assert attribute
        value = give(attribute, *_find_truth(sealed, serving, place), place.time)
        if value is not None:
            said[place] = value
    answer = merge(Answer(words=tuple(words)), said, float(minutes))
    return make_plain(answer)


def make_plain(answer: Answer) -> dict[str, Any]:
    """Return an answer as an event takes it: minutes as decimal strings, no fractions."""
    body = answer.model_dump(mode="json")
    for one in (*body["values"], *body["earlier"]):
        if one["minutes"] is not None:
            one["minutes"] = str(one["minutes"])
    return body


def _find_truth(sealed: SealedTasting, serving: PlannedServing, place: Place) -> tuple[str, str]:
    if not place.code:
        return "", ""
    sample = sealed.get_sample(serving, place.code)
    found = serving.find_cup(place.code, place.bowl)
    return sample, sealed.key[found.id] if found else ""


@dataclass(frozen=True)
class TableTruth:
    """What is the case at an invented table, whatever its sheets say.

    Attributes
    ----------
    file, title
        Name of the file, and of the tasting in a list.
    seed
        Of everything drawn by chance; another one for each table.
    samples
        Labels, A first.
    sheet
        What is asked.
    means
        Attribute to true place of every sample on the line, 0 to 100.
    verdict, advice
        What the finding must conclude, and whether it speaks for deciding or tasting again.
    table, plan
        Members of the plan of the table, and of the tasting.
    upside_down
        Seats that use lines the other way round.
    odd
        Bowl to how far its lines are moved.
    flags
        Sample to the share of its cups that carry a flag, and for what.
    own
        Seat to own words, each with the true places of the samples.
    error
        Spread of a value around its true place.
    """

    file: str
    title: str
    seed: int
    samples: tuple[str, ...]
    sheet: Sheet
    means: Mapping[str, Sequence[float]]
    verdict: str
    advice: str
    question: str
    difference: str
    table: Mapping[str, Any] = field(default_factory=dict)
    plan: Mapping[str, Any] = field(default_factory=dict)
    upside_down: frozenset[int] = frozenset()
    odd: Mapping[str, float] = field(default_factory=dict)
    flags: Mapping[str, tuple[float, str]] = field(default_factory=dict)
    own: Mapping[int, Mapping[str, Sequence[float]]] = field(default_factory=dict)
    error: float = 6


def _line(name: str, label: str, low: str, high: str, **more: Any) -> Attribute:
    return Attribute(name=name, label=label, scale=Line(low=low, high=high), **more)


FLAW = Attribute(
    name="flaw",
    label="Something wrong with this bowl",
    scope="cup",
    scale=Defect(levels=("faint", "clear", "strong"), words=("damp sack", "raw peas", "ash")),
)
LINES = (
    _line("sweet", "Sweetness", "none", "strong"),
    _line("sour", "Sourness", "none", "strong"),
    _line("body", "Weight in the mouth", "like water", "like cream"),
)
ROAST_CHECK = Sheet(title="Lantern Row roast check", attributes=(*LINES, FLAW))
BATCHES = Sheet(
    title="Lantern Row batches",
    attributes=(
        _line("sweet", "Sweetness", "none", "strong", passes=("hot", "cool")),
        _line("roasty", "Taste of roasting", "none", "strong"),
        Attribute(
            name="clean",
            label="Clarity",
            scale=Category(words=("muddled", "hazy", "clear", "very clear")),
        ),
    ),
)
OWN_SHEET = Sheet(
    title="Lantern Row, own words",
    attributes=(_line("strong", "Strength of taste", "weak", "strong"),),
    own_words=3,
)
APART_SHEET = get_starter("difference-from-control").sheet
ORDER_SHEET = get_starter("ranking").sheet
LOTS = ("hill lot", "river lot", "terrace lot", "shade lot", "old-tree lot")

TRUTHS = (
    TableTruth(
        file="lantern-row-batches",
        title="Sample: four batches",
        seed=2031060201,
        question="Do four batches of the house roast differ in sweetness?",
        difference="the batch",
        samples=("batch 31", "batch 32", "batch 33", "batch 34"),
        sheet=BATCHES,
        means={"sweet": (62, 48, 60, 40), "roasty": (40, 52, 42, 50), "clean": (80, 55, 75, 50)},
        table={"primary": "sweet, hot", "duplicates": ("A",), "prior_scale": "0.707"},
        plan={"assessors": 8},
        verdict="differ",
        advice="decide",
    ),
    TableTruth(
        file="lantern-row-upside-down",
        title="Sample: one seat upside down",
        seed=2031060202,
        question="Which of five lots is sour?",
        difference="the lot",
        samples=LOTS,
        sheet=ROAST_CHECK,
        means={"sweet": (40, 50, 45, 55, 48), "sour": (25, 70, 40, 60, 50), "body": (50,) * 5},
        table={"primary": "sour"},
        plan={"assessors": 7},
        upside_down=frozenset({4}),
        verdict="differ",
        advice="discuss",
    ),
    TableTruth(
        file="lantern-row-odd-bowl",
        title="Sample: one bowl stands apart",
        seed=2031060203,
        question="Does the new roast plan change the weight in the mouth?",
        difference="the roast plan",
        samples=("old plan", "new plan", "new plan, longer rest"),
        sheet=ROAST_CHECK,
        means={"sweet": (50, 52, 51), "sour": (40, 38, 39), "body": (48, 50, 49)},
        table={"primary": "body", "style": "shared", "bowls": 4, "scattered": True},
        plan={"assessors": 8},
        odd={"B2": -34},
        flags={"B": (0.25, "damp sack")},
        verdict="not_shown",
        advice="retaste",
    ),
    TableTruth(
        file="lantern-row-own-words",
        title="Sample: words of their own",
        seed=2031060204,
        question="How do five lots differ, in the tasters' own words?",
        difference="the lot",
        samples=LOTS,
        sheet=OWN_SHEET,
        means={"strong": (50, 52, 48, 51, 49)},
        plan={"assessors": 6},
        own={
            1: {"jam": (80, 25, 60, 30, 50), "wet stone": (20, 70, 40, 35, 50)},
            2: {"ripe fruit": (75, 30, 65, 25, 50), "chalk": (25, 75, 35, 40, 45)},
            3: {"sweet dough": (70, 35, 60, 30, 55), "nettle": (30, 65, 30, 45, 50)},
            4: {"hay": (20, 70, 35, 75, 50), "plum": (75, 20, 55, 35, 50)},
            5: {"round": (70, 30, 65, 35, 55), "flinty": (30, 80, 40, 30, 50)},
            6: {"berry": (78, 28, 58, 32, 50), "dusty": (25, 60, 35, 60, 50)},
        },
        verdict="no_leads",
        advice="retaste",
    ),
    TableTruth(
        file="lantern-row-kept-three-ways",
        title="Sample: three ways to keep beans, against a control",
        seed=2031060205,
        question="Which way to keep beans for a month is noticed beside beans kept frozen?",
        difference="how the beans were kept",
        samples=("kept frozen", "bag with a clip", "tin, half full", "paper bag"),
        sheet=APART_SHEET,
        means={"difference": (26, 26, 33, 62)},  # the control is found to differ from itself
        error=12,
        table={
            **{"primary": "difference", "reference": "A", "warm_up": "A"},
            **{"method": "difference-from-control"},
        },
        plan={"assessors": 12, "standard": SCORED["difference-from-control"].standard},
        verdict="differ",
        advice="decide",
    ),
    TableTruth(
        file="lantern-row-order-of-waters",
        title="Sample: five waters in order of strength",
        seed=2031060206,
        question="In what order of strength does one roast come with five waters?",
        difference="the water",
        samples=("bottle 1", "bottle 2", "tap, filtered", "tap", "tap, boiled twice"),
        sheet=ORDER_SHEET,
        means={"order": (70, 66, 52, 40, 36)},
        error=14,
        table={"primary": "order", "method": "ranking"},
        plan={"assessors": 10, "standard": SCORED["ranking"].standard},
        verdict="differ",
        advice="decide",
    ),
)


def stage(truth: TableTruth) -> bytes:
    """Play a table by its truth from the draw to unsealing and return its document."""
    sealed = draw(truth)
    tale, chance = Tale(sealed, truth.seed).begin().brew(error=1), Random(truth.seed + 1)
    habits = {seat.number: chance.gauss(0, 4) for seat in sealed.seats}
    for serving in list_scored(sealed):
        tale.tell(Kind.SERVED, serving=str(serving.id), done=True)
        stood = {cup.code: sealed.get_sample(serving, cup.code) for cup in serving.cups}
        scorer = Scorer(truth, serving.seat, habits[serving.seat], chance, stood)
        words = tuple(truth.own.get(serving.seat, {}))
        if words:
            tale.tell(Kind.WORDS_CHOSEN, seat=serving.seat, words=list(words))
        tale.answer(serving, fill_sheet(sealed, serving, scorer.give, words))
    tale.close()
    return write(truth, sealed, tale)


def draw(truth: TableTruth) -> SealedTasting:
    """Draw and seal a table."""
    chance = Random(truth.seed)
    plan: dict[str, Any] = {
        **{"question": truth.question, "difference": truth.difference, "method": "table"},
        **{"standard": "none", "alpha": "0.05", "size_d_prime": None, "assessors": 8},
        **{"rounds": 1, "sittings": 1, "spare_seats": 1, "pourer": "absent", "swallow": False},
        **{"cup_ml": "40", "pot_ml": "500", "pots": "separate", "tds_limit": "0.05"},
        **{"temperature_limit": "2", "table": {"sheet": write_sheet(truth.sheet), **truth.table}},
        **truth.plan,
    }
    samples = [
        PlannedSample(level=level, label=label)
        for level, label in zip("ABCDEFGH", truth.samples, strict=False)
    ]
    return draw_table(Plan(**plan), UUID(int=chance.getrandbits(128), version=4), samples, chance)


@dataclass
class Scorer:
    """Somebody who scores by a truth: a habit of their own, an error for every value."""

    truth: TableTruth
    seat: int
    habit: float
    chance: Random
    stood: Mapping[str, str]

    def give(self, attribute: Attribute, sample: str, slot: str, _: str) -> Any:
        """Give a value."""
        if isinstance(attribute.scale, Defect):
            return self._flag(sample, slot)
        if isinstance(attribute.scale, Comment):
            return None
        if isinstance(attribute.scale, Ranking):
            met = {code: self._taste(attribute, one) for code, one in self.stood.items()}
            return [[code] for code in sorted(met, key=lambda code: -met[code])]
        place = self._taste(attribute, sample)
        if self.seat in self.truth.upside_down:
            place = 100 - place
        place = min(max(place + self.truth.odd.get(slot, 0), 0), 100)
        if isinstance(attribute.scale, Category | Control):
            return min(
                int(place / 100 * len(attribute.scale.words)), len(attribute.scale.words) - 1
            )
        return round(place * 10)

    def _taste(self, attribute: Attribute, sample: str) -> float:
        error = self.chance.gauss(0, self.truth.error)
        return self._find_place(attribute, sample) + self.habit + error

    def _find_place(self, attribute: Attribute, sample: str) -> float:
        level = "ABCDEFGH".index(sample)
        if is_own(attribute):
            return self.truth.own[self.seat][attribute.label][level]
        return self.truth.means[attribute.name][level]

    def _flag(self, sample: str, slot: str) -> dict[str, Any]:
        share, word = self.truth.flags.get(sample, (0.0, ""))
        if slot in self.truth.odd and self.chance.random() < 2 * share:
            return {"found": True, "intensity": self.chance.choice((1, 2)), "word": word}
        return {"found": False}


def write(truth: TableTruth, sealed: SealedTasting, tale: Tale) -> bytes:
    """Write a table's document, its finding beside it."""
    from server.reports.scored import analyse_table
    from server.reports.table_findings import conclude_table

    finding = conclude_table(analyse_table(sealed, tale.events))
    expected = {
        "verdict": finding.verdict.value,
        "headline": finding.headline,
        "advice": finding.advice.value,
        "blinding_level": finding.blinding_level,
    }
    text = canonical(sealed)
    return build_document(truth.title, tale.seal, text, None, tale.events, expected)


if __name__ == "__main__":
    for one in TRUTHS:
        (SAMPLE_SESSIONS / f"{one.file}.json").write_bytes(stage(one))
