"""Stage invented tastings from a stated truth, and write them as sample sessions.

``python -m tests.staging`` writes every session anew; the draw is seeded and the clock is
set, so the files change only when the program does. ``tests/test_sample_sessions.py``
holds the files to what is staged here.
"""

import json
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from pathlib import Path
from random import Random
from tempfile import TemporaryDirectory
from typing import Any
from uuid import UUID

from server.blinding.events import CHECKLIST
from server.blinding.plans import Purpose
from server.blinding.portable import build_document, read_document
from server.blinding.seal import read_sealed
from server.blinding.sealed import PlannedServing, PlannedSlot, SealedTasting
from server.methods.base import NEITHER
from server.methods.registry import get_method
from server.methods.traits import asks_for_liking
from server.pages.assets import SAMPLE_SESSIONS
from server.reports.analysis import analyse_tasting
from server.reports.findings import conclude
from server.storage import queries
from server.storage.engine import open_engine, sqlite_url
from server.storage.key import read_sealed_text
from server.storage.migrate import upgrade
from server.tastings import (
    accounts,
    answering,
    checking,
    closing,
    drafts,
    exporting,
    planning,
    pouring,
    releasing,
    sealing,
    seating,
)
from server.tastings import alone as own
from server.tastings.bench import Bench
from tests.answers import find_answers, guess_answer
from tests.playing_alone import PlayAlone


@dataclass
class WalkingClock:
    """A clock that goes on a few seconds whenever somebody looks at it."""

    now: datetime

    def __call__(self) -> datetime:
        self.now += timedelta(seconds=7)
        return self.now


@dataclass(frozen=True)
class Truth:
    """What is the case in an invented tasting, whatever its answers say.

    Attributes
    ----------
    file, title
        Name of the file, and of the tasting in a list.
    plan
        The leader's form.
    seed
        Of everything drawn by chance; another one for each tasting.
    verdict
        What the finding must conclude.
    noticed
        Share of servings in which the difference is tasted, by purpose; all other
        answers are guesses.
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
    plan: dict[str, str]
    seed: int
    verdict: str
    noticed: dict[Purpose, float]
    tds: dict[str, str]
    celsius: dict[str, str]
    fill: dict[str, str]
    poured: str = "absent"
    stop_after: int | None = None
    lost: int | None = None
    neither: float = 0.0
    apart: dict[str, str] = field(default_factory=dict)
    released: str = ""
    odd: dict[str, float] = field(default_factory=dict)
    comments: dict[bool, tuple[str, ...]] = field(default_factory=lambda: COMMENTS)


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
ALIKE: dict[str, Any] = {
    "tds": {"A": "0.42", "B": "0.42", "C": "0.37"},
    "celsius": {"A": "57.5", "B": "57.5", "C": "57.0"},
    "fill": {"A": "35", "B": "35", "C": "35"},
}
COMMENTS = {
    True: ("flat, a bit stale", "like damp paper", "duller at the end", ""),
    False: ("", "", "no idea", "all alike to me"),
}

TRUTHS = (
    Truth(
        file="fresh-cartridge",
        title="Sample: fresh cartridge",
        seed=2031051401,
        plan=TEA_BAR
        | {
            "question": "Does a fresh filter cartridge leave a taste in our green tea?",
            "sample_a": "flushed cartridge, 30 L through it",
            "sample_b": "fresh cartridge, 1 L through it",
            "difference": "how much water has run through the filter cartridge",
            "null_control": "on",
        },
        verdict="told_apart",
        noticed={Purpose.TEST: 0.6, Purpose.NULL: 0.0},
        **ALIKE,
    ),
    Truth(
        file="rinsed-caddy",
        title="Sample: rinsed caddy",
        seed=2031051402,
        plan=TEA_BAR
        | {
            "question": "Does tea kept in the rinsed tin caddy pick up a taste?",
            "sample_a": "kept in the glass caddy",
            "sample_b": "kept in the rinsed tin caddy",
            "difference": "the caddy the leaves were kept in for a week",
            "assessors": "10",
            "size_percent": "50",
            "positive_control": "on",
            "positive_label": "glass caddy, 12 % water added",
            "positive_percent": "90",
        },
        verdict="not_detected",
        noticed={Purpose.TEST: 0.0, Purpose.POSITIVE: 0.95},
        **ALIKE,
    ),
    Truth(
        file="two-strainers",
        title="Sample: two strainers",
        seed=2031051403,
        plan=TEA_BAR
        | {
            "question": "Does the nylon strainer change our breakfast tea?",
            "sample_a": "steel strainer",
            "sample_b": "nylon strainer",
            "difference": "the mesh the tea is poured through",
            "assessors": "5",
            "rounds": "2",
            "size_percent": "30",
        },
        verdict="inconclusive_weak",
        noticed={Purpose.TEST: 0.15},
        **ALIKE,
    ),
    Truth(
        file="warming-plate",
        title="Sample: warming plate",
        seed=2031051404,
        plan=TEA_BAR
        | {
            "question": "Does the pot on the warming plate taste of the plate?",
            "sample_a": "kept in the flask",
            "sample_b": "kept on the warming plate",
            "difference": "twenty minutes on the warming plate instead of in the flask",
        },
        verdict="told_apart_not_matched",
        noticed={Purpose.TEST: 0.7},
        tds={"A": "0.42", "B": "0.56"},
        celsius={"A": "57.5", "B": "57.0"},
        fill={"A": "35", "B": "35"},
    ),
    Truth(
        file="steeped-too-long",
        title="Sample: steeped too long",
        seed=2031051461,
        plan=TEA_BAR
        | {
            "question": "Does the cork stopper of the flask leave a taste in our black tea?",
            "sample_a": "kept in the flask with the glass stopper",
            "sample_b": "kept in the flask with the cork stopper",
            "difference": "the stopper of the flask",
            "pot_ml": "300",
            "age_limit": "10",
        },
        verdict="told_apart_not_matched",
        noticed={Purpose.TEST: 0.6},
        apart={"B3": "0.56"},
        released="the guests were seated and the kettle was empty",
        **ALIKE,
    ),
    Truth(
        file="one-urn-each",
        title="Sample: one urn each",
        seed=2031051405,
        plan=TEA_BAR
        | {
            "question": "Does the gasket of the new urn leave a taste?",
            "sample_a": "old urn",
            "sample_b": "new urn",
            "difference": "the urn: old, or new with its first gasket",
            "pots": "single",
            "pot_ml": "2000",
        },
        verdict="told_apart_pots",
        noticed={Purpose.TEST: 0.6},
        **ALIKE,
    ),
    Truth(
        file="stopped-early",
        title="Sample: stopped early",
        seed=2031051406,
        plan=TEA_BAR
        | {
            "question": "Does descaling leave a taste after three rinses?",
            "sample_a": "kettle not descaled",
            "sample_b": "kettle descaled, rinsed three times",
            "difference": "descaling the day before",
        },
        verdict="exploratory",
        noticed={Purpose.TEST: 0.45},
        poured="present",
        stop_after=14,
        **ALIKE,
    ),
    Truth(
        file="cotton-bag-alone",
        title="Sample: cotton bag, tasted alone",
        seed=2031051407,
        plan=TEA_BAR
        | {
            "question": "Do I taste the cotton bag in our cold-steeped tea?",
            "sample_a": "steeped loose",
            "sample_b": "steeped in the cotton bag",
            "difference": "the cotton bag the leaves are steeped in",
            "pourer": "alone",
            "sittings": "2",
            "size_percent": "90",
        },
        verdict="told_apart",
        noticed={Purpose.TEST: 0.9},
        poured="alone",
        lost=4,
        **ALIKE,
    ),
    Truth(
        file="tin-lid-alone",
        title="Sample: tin lid, pairs tasted alone",
        seed=2031051408,
        plan=TEA_BAR
        | {
            "question": "Does the tin lid make our green tea taste metallic?",
            "sample_a": "steeped under the glass lid",
            "sample_b": "steeped under the tin lid",
            "difference": "the lid on the pot",
            "pourer": "alone",
            "method": "2-afc",
            "attribute": "metallic",
            "more": "B",
            "rounds": "4",
            "sittings": "3",
            "size_percent": "80",
        },
        verdict="inconclusive_unshown",
        noticed={Purpose.TEST: 0.0},
        poured="alone",
        **ALIKE,
    ),
    Truth(
        file="second-infusion",
        title="Sample: second infusion, a tetrad",
        seed=2031051409,
        plan=TEA_BAR
        | {
            "question": "Is our second infusion told from the first, brewed as strong?",
            "sample_a": "first infusion",
            "sample_b": "second infusion, steeped to the same strength",
            "difference": "the infusion: first or second of the same leaves",
            "method": "tetrad",
        },
        verdict="told_apart",
        noticed={Purpose.TEST: 0.6},
        **ALIKE,
    ),
    Truth(
        file="two-kettles",
        title="Sample: two kettles, two cups of five",
        seed=2031051410,
        plan=TEA_BAR
        | {
            "question": "Does the enamel kettle change our white tea?",
            "sample_a": "water from the steel kettle",
            "sample_b": "water from the enamel kettle",
            "difference": "the kettle the water is boiled in",
            "method": "two-out-of-five",
            "rounds": "2",
            "cup_ml": "20",
            "null_control": "on",
            "positive_control": "on",
            "positive_label": "steel kettle, 12 % water added",
            "positive_percent": "80",
        },
        verdict="not_detected",
        noticed={Purpose.TEST: 0.0, Purpose.NULL: 0.0, Purpose.POSITIVE: 0.9},
        **ALIKE | {"fill": {"A": "20", "B": "20", "C": "20"}},
    ),
    Truth(
        file="lidded-jar",
        title="Sample: lidded jar, a duo-trio",
        seed=2031051441,
        plan=TEA_BAR
        | {
            "question": "Does tea left in the lidded jar for an hour taste of it?",
            "sample_a": "poured from the flask",
            "sample_b": "an hour in the lidded jar",
            "difference": "an hour in the lidded jar instead of in the flask",
            "method": "duo-trio",
            "rounds": "4",
        },
        verdict="told_apart",
        noticed={Purpose.TEST: 0.75},
        **ALIKE,
    ),
    Truth(
        file="house-blend-again",
        title="Sample: the house blend again, a duo-trio",
        seed=2031051442,
        plan=TEA_BAR
        | {
            "question": "Is the new lot told from our house blend, which everybody knows?",
            "sample_a": "house blend, the usual lot",
            "sample_b": "house blend, the new lot",
            "difference": "the lot of the house blend",
            "method": "duo-trio-constant",
            "assessors": "10",
            "rounds": "4",
            "size_percent": "50",
            "positive_control": "on",
            "positive_label": "usual lot, 12 % water added",
            "positive_percent": "90",
        },
        verdict="not_detected",
        noticed={Purpose.TEST: 0.0, Purpose.POSITIVE: 1.0},
        **ALIKE,
    ),
    Truth(
        file="long-steep",
        title="Sample: a minute longer, a 3-AFC",
        seed=2031051443,
        plan=TEA_BAR
        | {
            "question": "Does a minute more of steeping make our green tea more bitter?",
            "sample_a": "steeped two minutes",
            "sample_b": "steeped three minutes, brewed as strong",
            "difference": "the minutes of steeping",
            "method": "3-afc",
            "attribute": "bitterness",
            "more": "B",
            "rounds": "2",
        },
        verdict="told_apart",
        noticed={Purpose.TEST: 0.6},
        comments={True: ("bites at the end", "harsher", ""), False: ("", "not sure")},
        **ALIKE,
    ),
    Truth(
        file="rooftop-tank",
        title="Sample: rooftop tank",
        seed=2031051414,
        plan=TEA_BAR
        | {
            "question": "Does water from the rooftop tank change how astringent our black tea is?",
            "sample_a": "mains water",
            "sample_b": "water from the rooftop tank",
            "difference": "where the water comes from",
            "method": "paired-comparison",
            "attribute": "astringent",
            "size_percent": "60",
        },
        verdict="leans",
        noticed={Purpose.TEST: 0.55},
        comments={True: ("dries the tongue", "grips more", ""), False: ("", "hard to say")},
        **ALIKE,
    ),
    Truth(
        file="older-bag",
        title="Sample: a pot from the older bag",
        seed=2031051434,
        plan=TEA_BAR
        | {
            "question": "Does our clay pot make the barley tea more earthy?",
            "sample_a": "brewed in the glass pot",
            "sample_b": "brewed in the clay pot",
            "difference": "the pot the tea is brewed in",
            "method": "2-afc",
            "attribute": "earthy",
            "more": "B",
            "assessors": "30",
            "rounds": "1",
            "size_percent": "50",
            "pot_ml": "650",
            "loss_ml": "30",
        },
        verdict="told_apart_one_brew",
        noticed={Purpose.TEST: 0.0},
        odd={"B1": 1.0},
        comments={True: ("like a cellar", "wet clay", ""), False: ("", "no idea", "alike")},
        **ALIKE,
    ),
    Truth(
        file="two-cold-teas",
        title="Sample: two cold teas",
        seed=2031051412,
        plan=TEA_BAR
        | {
            "question": "Which of two cold teas shall go on the summer card?",
            "sample_a": "cold tea with lemon balm",
            "sample_b": "cold tea with mint",
            "difference": "the herb that is steeped with the tea",
            "method": "paired-preference",
            "no_preference": "left_out",
            "assessors": "36",
            "rounds": "1",
            "size_percent": "60",
        },
        verdict="no_lean",
        noticed={Purpose.TEST: 0.0},
        neither=0.1,
        comments={True: ("", "fresh"), False: ("", "like a garden", "not too sweet", "cool")},
        **ALIKE | {"celsius": {"A": "9.0", "B": "9.0"}},
    ),
    Truth(
        file="slate-lid",
        title="Sample: slate lid, stopped as planned",
        seed=2031051422,
        plan=TEA_BAR
        | {
            "question": "Does our iced tea pick up a taste in the jug with the slate lid?",
            "sample_a": "jug with its glass lid",
            "sample_b": "jug with the slate lid",
            "difference": "the lid the jug stood under overnight",
            "assessors": "6",
            "rounds": "6",
            "size_percent": "50",
            "stop_rule": "sequential",
            "every": "1",
            "beta": "0.1",
            "relief": "spit",
        },
        verdict="told_apart",
        noticed={Purpose.TEST: 0.7},
        **ALIKE | {"celsius": {"A": "8.0", "B": "8.0"}},
    ),
    Truth(
        file="rinse-water-guests",
        title="Sample: rinse water, forty-six guests",
        seed=2031051421,
        plan=TEA_BAR
        | {
            "question": "May we rinse our pots with softened water without guests noticing?",
            "sample_a": "pots rinsed with plain water",
            "sample_b": "pots rinsed with softened water",
            "difference": "the water the pots are rinsed with",
            "shows": "few",
            "beta": "0.05",
            "assessors": "46",
            "rounds": "1",
            "size_percent": "30",
        },
        verdict="few",
        noticed={Purpose.TEST: 0.02},
        **ALIKE,
    ),
    Truth(
        file="spring-harvest",
        title="Sample: spring harvest",
        seed=2031051413,
        plan=TEA_BAR
        | {
            "question": "Do we know this spring's green tea from last year's?",
            "sample_a": "this spring's green tea",
            "sample_b": "last year's green tea",
            "difference": "the year of the harvest",
            "method": "a-not-a",
            "open_cups": "A",
            "told_shares": "on",
            "assessors": "10",
            "rounds": "4",
        },
        verdict="told_apart",
        noticed={Purpose.TEST: 0.6},
        **ALIKE,
    ),
    Truth(
        file="iron-pot",
        title="Sample: iron pot",
        seed=2031051415,
        plan=TEA_BAR
        | {
            "question": "Does the iron pot change our smoked tea?",
            "sample_a": "brewed in the glass pot",
            "sample_b": "brewed in the iron pot",
            "difference": "the pot the tea is brewed in",
            "method": "same-different",
            "assessors": "6",
            "rounds": "4",
        },
        verdict="inconclusive_weak",
        noticed={Purpose.TEST: 0.1},
        comments={True: ("one is flatter",), False: ("", "much the same to me", "no idea")},
        **ALIKE,
    ),
)


@contextmanager
def open_bench(seed: int) -> Iterator[Bench]:
    """Open a throwaway bench whose chance and clock repeat."""
    with TemporaryDirectory() as folder:
        engine = open_engine(sqlite_url(Path(folder)))
        upgrade(engine)
        yield Bench(engine, Random(seed), WalkingClock(datetime(2031, 5, 14, 9, tzinfo=UTC)))
        engine.dispose()


def stage(truth: Truth) -> bytes:
    """Play a tasting by its truth from plan to unsealing and return its document."""
    with open_bench(truth.seed) as bench:
        account = accounts.find_link(bench, accounts.issue_link(bench))
        assert account
        tasting_id = drafts.create_draft(bench, account.id, planning.read_plan(truth.plan))
        sealing.seal_tasting(bench, tasting_id)
        for item in CHECKLIST:
            checking.tick_check(bench, tasting_id, item, done=True)
        table = _look_up(bench, truth, tasting_id)
        play_alone(bench, table) if table.sealed.plan.alone else _play(bench, table)
        reason = "the answers looked clear enough" if truth.stop_after else ""
        closing.close_tasting(bench, tasting_id, reason, truth.poured)
        closing.unseal_tasting(bench, tasting_id)
        return _write(truth, exporting.export_tasting(bench, tasting_id).document)


@dataclass(frozen=True)
class Table:
    """A sealed tasting being played, with all that nobody at it should know."""

    truth: Truth
    sealed: SealedTasting
    tokens: dict[int, str]
    pourer: str
    chance: Random


def _play(bench: Bench, table: Table) -> None:
    left = table.truth.stop_after
    for number in range(1, table.sealed.plan.total_rounds + 1):
        _serve(bench, table, number)
        for seat in range(1, table.sealed.plan.assessors + 1):
            if left == 0:
                return _peek(bench, table.sealed.tasting)
            _taste(bench, table, seat, number)
            left = None if left is None else left - 1
        if _is_told_to_stop(bench, table.sealed.tasting):
            return None
    return None


def _is_told_to_stop(bench: Bench, tasting_id: UUID) -> bool:
    with bench.reading() as db:
        return queries.load_record(db, tasting_id).told_to_stop


def _peek(bench: Bench, tasting_id: UUID) -> None:
    """Look at the key and, with the answers so far in the other hand, at the results."""
    exporting.export_tasting(
        bench, tasting_id, exporting.KeyLook("present", "to see how it is going")
    )


def _look_up(bench: Bench, truth: Truth, tasting_id: UUID) -> Table:
    with bench.reading() as db:
        text = read_sealed_text(db, tasting_id)
        assert text
        seats = {seat.number: seat.token for seat in queries.list_seats(db, tasting_id)}
        pourer = queries.list_pourer_links(db, tasting_id)[0].token
    return Table(truth, read_sealed(text), seats, pourer, Random(truth.seed + 1))


def _serve(bench: Bench, table: Table, number: int) -> None:
    bar = pouring.find_bar(bench, table.pourer)
    assert bar
    if table.truth.released:
        _release(bench, table, bar, number)
    for slot in bar.slots(number):
        pouring.tick_poured(bench, bar, slot.name, done=True)
        if not table.truth.released:
            pouring.note_brew(bench, bar.tasting_id, bar.rounds, _read(bench, table, slot))
    for serving in bar.servings(number):
        if serving.seat <= bar.layout.plan.assessors:
            pouring.tick_served(bench, bar, serving.id, done=True)


def _release(bench: Bench, table: Table, bar: pouring.Bar, number: int) -> None:
    """Read every pot of a round, and let go those that wait for it, with the reason."""
    for slot in bar.slots(number):
        pouring.note_brew(bench, bar.tasting_id, bar.rounds, _read(bench, table, slot))
    with bench.reading() as db:
        record = queries.load_record(db, bar.tasting_id)
    for gate in releasing.list_slot_gates(bar.layout, record, bar.slots(number)):
        if gate.held:
            form = {"slot": gate.slot.name, "release_reason": table.truth.released}
            releasing.release_brew(bench, bar.tasting_id, bar.rounds, form)


def _read(bench: Bench, table: Table, slot: PlannedSlot) -> dict[str, str]:
    """Read a pot: the truth, and an error of reading."""
    truth, chance = table.truth, table.chance
    strength = Decimal(truth.apart.get(slot.name, truth.tds[slot.sample]))
    readings = [strength + Decimal(chance.choice((-1, 0, 0, 1))) / 100 for _ in range(3)]
    return {
        "slot": slot.name,
        "tds": " ".join(map(str, readings)),
        "temperature_c": str(Decimal(truth.celsius[slot.sample]) + _wobble(chance)),
        "fill_g": str(Decimal(truth.fill[slot.sample]) + _wobble(chance)),
        "time": f"{bench.clock():%H:%M}",
        "note": "",
    }


def _wobble(chance: Random) -> Decimal:
    return Decimal(chance.choice((-3, 0, 3))) / 10


def _taste(bench: Bench, table: Table, seat: int, number: int) -> None:
    sealed, chance, token = table.sealed, table.chance, table.tokens[seat]
    serving = next(one for one in sealed.servings if (one.seat, one.round) == (seat, number))
    shares = [table.truth.odd.get(sealed.key[cup.id], 0.0) for cup in serving.cups]
    noticed = chance.random() < max(table.truth.noticed[sealed.purpose(serving)], *shares)
    (right,) = find_answers(sealed, serving, right=True)
    form = (right if noticed else guess_answer(sealed, serving, chance)) | {
        "comment": chance.choice(table.truth.comments[noticed]),
        "guess": "on" if not noticed and chance.random() < 0.7 else "",
    }
    if asks_for_liking(get_method(sealed.plan.method)):
        form["guess"] = ""  # nobody guesses what they like
        form |= {"pick": NEITHER} if chance.random() < table.truth.neither else {}
    seating.read_instructions(bench, token)
    answering.confirm_codes(bench, token, serving.id, differ=False)
    answering.record_answer(bench, token, serving.id, form, f"r{number}")


def play_alone(bench: Bench, table: Table) -> None:
    """Sit down once a day: mark, brew, pour, shuffle, taste, lock, and turn the cups at the end."""
    alone = PlayAlone(bench, Made(table.sealed.tasting, table.sealed), seed=table.truth.seed + 2)
    seating.read_instructions(bench, alone.token)
    for sitting in range(1, table.sealed.plan.sittings + 1):
        own.prepare_sitting(bench, alone.token, sitting)
        for slot in table.sealed.slots:
            if slot.round == alone.servings(sitting)[0].round:
                rounds = range(1, table.sealed.plan.total_rounds + 1)
                pouring.note_brew(bench, table.sealed.tasting, rounds, _read(bench, table, slot))
        for serving in alone.servings(sitting):
            _taste_alone(alone, table, serving)
        lost = {one.id: 1 for one in alone.servings(sitting) if one.round == table.truth.lost}
        alone.turn(sitting, lost)
        bench.clock.now += timedelta(days=1)


def _taste_alone(alone: PlayAlone, table: Table, serving: PlannedServing) -> None:
    chance = table.chance
    noticed = chance.random() < table.truth.noticed[Purpose.TEST]
    right = noticed or chance.randrange(len(serving.cups)) == 0
    alone.answer(
        serving,
        right=right,
        seconds=chance.randrange(22, 40),
        comment=chance.choice(COMMENTS[noticed]),
        guess="on" if not noticed and chance.random() < 0.7 else "",
    )


@dataclass(frozen=True)
class Made:
    """What is played: its id, and what was sealed."""

    id: UUID
    sealed: SealedTasting


def _write(truth: Truth, document: bytes) -> bytes:
    read = read_document(document)
    assert read.sealed_text
    finding = conclude(analyse_tasting(read_sealed(read.sealed_text), read.events))
    numbers = {line.name: line.value for line in finding.numbers}
    expected = {
        "verdict": finding.verdict.value,
        "headline": finding.headline,
        "correct": numbers["correct"],
        "p_value": numbers["p_value"],
        "blinding_level": finding.blinding_level,
    }
    return build_document(
        truth.title, read.seal, read.sealed_text, None, read.events, expected=expected
    )


def write_all(folder: Path = SAMPLE_SESSIONS) -> dict[str, Any]:
    """Write every sample session; return what each of them is expected to find."""
    expected = {}
    for truth in TRUTHS:
        document = stage(truth)
        (folder / f"{truth.file}.json").write_bytes(document)
        expected[truth.file] = read_document(document).expected
    return expected


if __name__ == "__main__":
    print(json.dumps(write_all(), indent=2, ensure_ascii=False))  # noqa: T201 - a command
