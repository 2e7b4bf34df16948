from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from random import Random
from typing import Any
from uuid import UUID

import pytest

from server.blinding.alone import draw_alone
from server.blinding.chain import link
from server.blinding.draw import draw_tasting
from server.blinding.events import Event, Kind
from server.blinding.plans import Plan, Purpose
from server.blinding.seal import canonical, seal_hash
from server.blinding.sealed import PlannedSample, PlannedServing, PlannedSlot, SealedTasting
from server.methods.registry import METHODS
from server.reports.analysis import Analysis, analyse_tasting
from server.reports.findings import Finding, conclude
from tests.answers import find_answers

AT = "2031-05-14T09:00:00Z"

PLAN: dict[str, Any] = {
    "question": "Does the fresh cartridge change our green tea?",
    "difference": "the water-filter cartridge: fresh, or flushed with ten litres",
    "method": "triangle",
    "standard": "ISO 4120:2021",
    "alpha": "0.05",
    "size_d_prime": "1.5",
    "assessors": 6,
    "rounds": 3,
    "spare_seats": 1,
    "pourer": "absent",
    "swallow": True,
    "cup_ml": "30",
    "pot_ml": "400",
    "pots": "separate",
    "tds_limit": "0.05",
    "temperature_limit": "2",
}
SAMPLES = (
    PlannedSample(level="A", label="fresh cartridge"),
    PlannedSample(level="B", label="flushed cartridge"),
)
WATERED = PlannedSample(level="C", label="fresh cartridge, 12 % water added")


def find_kind(purpose: Purpose, slot: PlannedSlot) -> str | int:
    """What makes cups alike: the brew in a null control, else the sample."""
    return slot.n if purpose == Purpose.NULL else slot.sample


@dataclass
class Story:
    """One invented tasting at a tea bar, told event by event from a known truth."""

    sealed: SealedTasting
    events: list[Event] = field(default_factory=list)

    @property
    def seal(self) -> str:
        return seal_hash(canonical(self.sealed))

    @property
    def main(self) -> list[PlannedServing]:
        return self.find_servings(Purpose.TEST)

    @property
    def spare(self) -> list[PlannedServing]:
        return self.find_servings(Purpose.TEST, spare=True)

    def find_servings(self, purpose: Purpose, spare: bool = False) -> list[PlannedServing]:
        seats = self.sealed.plan.assessors
        mine = [s for s in self.sealed.servings if self.sealed.purpose(s) == purpose]
        return [s for s in mine if (s.seat > seats) == spare]

    def tell(self, kind: Kind, **body: Any) -> "Story":
        head = self.events[-1].head if self.events else self.seal
        salt = f"{len(self.events):064x}"
        self.events.append(link(head, len(self.events) + 1, kind, {"at": AT, **body}, salt))
        return self

    def find_odd_code(self, serving: PlannedServing) -> str:
        slots, purpose = {s.name: s for s in self.sealed.slots}, self.sealed.purpose(serving)
        kinds = [find_kind(purpose, slots[self.sealed.key[cup.id]]) for cup in serving.cups]
        return next(
            cup.code for cup, kind in zip(serving.cups, kinds, strict=True)
            if kinds.count(kind) == 1
        )  # fmt: skip

    def form(self, serving: PlannedServing, right: bool) -> dict[str, str]:
        return find_answers(self.sealed, serving, right=right)[0]

    def answer(
        self, serving: PlannedServing, right: bool, kind: Kind = Kind.ANSWERED, **more: Any
    ) -> "Story":
        said = METHODS[self.sealed.plan.method].parse_answer(
            self.form(serving, right), serving.codes
        )
        body: dict[str, Any] = {
            "serving": str(serving.id), "pass": "", "revision": more.pop("revision", 1),
            "answer": said | {"guess": more.pop("guess", False)},
            "client_key": f"k{len(self.events)}", "device_at": None,
            "source": more.pop("source", "device"),
        }  # fmt: skip
        return self.tell(kind, **body)

    def tell_pick(self, serving: PlannedServing, code: str) -> "Story":
        return self.tell_answer(serving, {"pick": code})

    def tell_answer(self, serving: PlannedServing, said: dict[str, str]) -> "Story":
        return self.tell(
            Kind.ANSWERED, serving=str(serving.id), revision=1, source="device", client_key="k",
            answer=said | {"guess": False, "comment": ""}, device_at=None,
        )  # fmt: skip

    def brew(
        self,
        tds: dict[str, list[str]] | None = None,
        celsius: dict[str, str | None] | None = None,
        grams: dict[str, str | None] | None = None,
    ) -> "Story":
        tds = {"A": ["1.30"], "B": ["1.31"]} if tds is None else tds
        celsius = {"A": "58", "B": "58"} if celsius is None else celsius
        for slot in self.sealed.slots:
            level = slot.sample
            self.tell(
                Kind.BREWED, slot=slot.name, tds=tds.get(level, ["1.15"]), time=None, note="",
                temperature_c=celsius.get(level, "58"), fill_g=(grams or {}).get(level),
            )  # fmt: skip
        return self

    def taste(
        self,
        right: int,
        trials: int | None = None,
        purpose: Purpose = Purpose.TEST,
        *,
        spread: bool = False,
    ) -> "Story":
        servings = self.find_servings(purpose)[:trials]
        for number, serving in enumerate(servings):
            self.tell(Kind.CODES_CONFIRMED, serving=str(serving.id))
            turn = (number + 1) * right // len(servings) > number * right // len(servings)
            self.answer(serving, turn if spread else number < right)
        return self

    def void(self, serving: UUID, replacement: UUID | None = None) -> "Story":
        spare = str(replacement) if replacement else None
        return self.tell(
            Kind.VOIDED, serving=str(serving), reason="cups knocked over", replacement=spare
        )

    def strike(self, *servings: PlannedServing, reason: str = "seat 6 is ill") -> "Story":
        """Strike servings off; a story made with ``begun=False`` has not begun to serve."""
        for serving in servings:
            self.tell(Kind.STRUCK, serving=str(serving.id), reason=reason)
        return self

    def begin(self) -> "Story":
        return self.tell(Kind.SERVING_BEGAN)

    def close(self, reason: str = "", pourer: str = "absent") -> "Story":
        return self.tell(Kind.CLOSED, reason=reason, pourer=pourer)

    def unseal(self, matches: bool = True) -> "Story":
        return self.tell(Kind.UNSEALED, seal_matches=matches)

    def erase(self, seqs: Iterable[int]) -> "Story":
        for seq in seqs:
            place = seq - 1
            emptied = self.events[place].model_copy(update={"body": None, "leaf_salt": None})
            self.events[place] = emptied
            self.tell(Kind.ERASED, seq=seq)
        return self

    def analyse(self) -> Analysis:
        return analyse_tasting(self.sealed, self.events)

    def conclude(self) -> Finding:
        return conclude(self.analyse())


@pytest.fixture(scope="session")
def make_story() -> Callable[..., Story]:
    """A sealed tasting of 6 tasters × 3 rounds; any member of the plan can be changed."""

    def make(seed: int = 1, begun: bool = True, **changes: Any) -> Story:
        plan = Plan(**PLAN | changes)
        samples = (*SAMPLES, WATERED) if plan.positive_control else SAMPLES
        orders = METHODS[plan.method].orders
        sealed = draw_tasting(plan, UUID(int=7), samples, orders, Random(seed))
        return Story(sealed).begin() if begun else Story(sealed)

    return make


@dataclass
class StoryAlone(Story):
    """One person pours, shuffles and tastes; ``under`` is what stands under each serving."""

    under: dict[UUID, tuple[str, ...]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        rng = Random(11)
        for one in self.sealed.servings:
            self.under[one.id] = tuple(rng.sample(one.pours, len(one.pours)))

    def sitting(self, number: int) -> list[PlannedServing]:
        return [one for one in self.sealed.servings if one.sitting == number]

    def find_odd_code(self, serving: PlannedServing) -> str:
        direction, samples = self.sealed.plan.direction, [s[0] for s in self.under[serving.id]]
        if len(samples) == 2:
            return serving.codes[samples.index(direction.more if direction else "B")]
        return serving.codes[next(n for n, s in enumerate(samples) if samples.count(s) == 1)]

    def form(self, serving: PlannedServing, right: bool) -> dict[str, str]:
        odd = self.find_odd_code(serving)
        return {"pick": next(code for code in serving.codes if (code == odd) == right)}

    def lock(
        self, serving: PlannedServing, right: bool, seconds: int | None = 25,
        cue: str | None = "", at: str = AT,
    ) -> "StoryAlone":  # fmt: skip
        body: dict[str, Any] = {**self.form(serving, right), "guess": False, "comment": ""}
        if cue is not None:
            body["cue"] = cue
        self.tell(Kind.SHUFFLED, serving=str(serving.id), seconds=seconds)
        self.tell(Kind.CODES_CONFIRMED, serving=str(serving.id))
        self.tell(
            Kind.ANSWERED, serving=str(serving.id), revision=1, answer=body, source="device",
            client_key=f"k{len(self.events)}", device_at=None, at=at, **{"pass": ""},
        )  # fmt: skip
        return self

    def turn(self, number: int, lost: Iterable[UUID] = (), photo: str | None = None) -> Any:
        """Enter the marks of a sitting; of a serving named in ``lost`` the first is unreadable."""
        answered = {e.body["serving"] for e in self.events if e.kind == Kind.ANSWERED and e.body}
        marks = {
            str(one.id): {
                str(cup.id): None if at == 0 and one.id in lost else slot
                for at, (cup, slot) in enumerate(zip(one.cups, self.under[one.id], strict=True))
            }
            for one in self.sitting(number)
            if str(one.id) in answered
        }
        return self.tell(Kind.REVEALED, sitting=number, marks=marks, photo=photo)

    def sit(self, number: int, right: int = 0, **more: Any) -> "StoryAlone":
        """Prepare, taste and turn a sitting, one a day, so many of its answers right."""
        self.tell(Kind.PREPARED, sitting=number)
        for at, serving in enumerate(self.sitting(number)):
            self.lock(serving, at < right, at=f"2031-05-{13 + number}T09:00:00Z", **more)
        return self.turn(number)

    def sit_all(self, *right: int, **more: Any) -> "StoryAlone":
        """Sit down once for every number of right answers."""
        for number, count in enumerate(right, 1):
            self.sit(number, count, **more)
        return self

    def close(self, reason: str = "", pourer: str = "alone") -> Any:
        return super().close(reason, pourer)


ALONE: dict[str, Any] = {
    "pourer": "alone", "assessors": 1, "spare_seats": 0, "rounds": 3, "sittings": 6,
    "size_d_prime": None, "size_share": "0.5", "pots": "blend",
}  # fmt: skip


@pytest.fixture(scope="session")
def make_alone() -> Callable[..., StoryAlone]:
    """A sealed tasting of one person: six sittings of three triads."""

    def make(seed: int = 1, **changes: Any) -> StoryAlone:
        plan = Plan(**PLAN | ALONE | changes)
        orders = METHODS[plan.method].orders
        sealed = draw_alone(plan, UUID(int=7), SAMPLES, orders, Random(seed))
        story = StoryAlone(sealed)
        story.begin()
        return story

    return make


@pytest.fixture(scope="session")
def tell_whole(make_story: Callable[..., Story]) -> Callable[..., Story]:
    """A whole tasting that went as planned, with so many right answers.

    They are the first ones, or are spread over all rounds.
    """

    def tell(right: int, spread: bool = False, **changes: Any) -> Story:
        pourer = changes.get("pourer", "absent")
        story = make_story(**changes).brew().taste(right, spread=spread)
        return story.close(pourer=pourer).unseal()

    return tell
