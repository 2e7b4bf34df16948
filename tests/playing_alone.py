"""Play a sealed tasting of one person who pours and tastes, cups, marks and all."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from random import Random
from typing import Any
from uuid import UUID

from server.blinding.events import Kind
from server.blinding.record import Record
from server.blinding.sealed import PlannedServing
from server.storage import queries
from server.tastings import closing
from server.tastings.bench import Bench
from server.tastings.journal import AT_THE_TABLE, open_journal

TURNED_IN = (*AT_THE_TABLE, closing.State.CLOSED)


@dataclass
class PlayAlone:
    """A tasting alone; ``made`` is what the fixture ``make_tasting`` returned.

    Under the cups stands what chance shuffled there: ``under`` tells, the record never does.
    """

    bench: Bench
    made: Any
    seed: int = 5
    under: dict[UUID, tuple[str, ...]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        rng = Random(self.seed)
        for serving in self.made.sealed.servings:
            self.under[serving.id] = tuple(rng.sample(serving.pours, len(serving.pours)))

    @property
    def record(self) -> Record:
        """What is the case now."""
        with self.bench.reading() as db:
            return queries.load_record(db, self.made.id)

    def servings(self, sitting: int) -> list[PlannedServing]:
        """Servings of a sitting, in order."""
        return [one for one in self.made.sealed.servings if one.sitting == sitting]

    def tell(self, kind: Kind, **body: Any) -> None:
        """Append an event."""
        with open_journal(self.bench, self.made.id, TURNED_IN) as journal:
            journal.begin_serving()
            journal.append(kind, **body)

    def pick(self, serving: PlannedServing, *, right: bool = True) -> str:
        """The code of the odd cup, or of another one."""
        samples = [slot[0] for slot in self.under[serving.id]]
        odd = next(at for at, one in enumerate(samples) if samples.count(one) == 1)
        return serving.codes[odd if right else (odd + 1) % len(samples)]

    def answer(self, serving: PlannedServing, *, right: bool = True, **more: Any) -> None:
        """Shuffle, place, taste, lock."""
        named = str(serving.id)
        self.tell(Kind.SHUFFLED, serving=named, seconds=more.pop("seconds", 24))
        self.tell(Kind.CODES_CONFIRMED, serving=named)
        body = {"pick": self.pick(serving, right=right), "guess": False, "comment": ""} | more
        self.tell(
            Kind.ANSWERED, serving=named, revision=1, answer=body, client_key=f"k{named}",
            device_at=None, source="device", **{"pass": ""},
        )  # fmt: skip

    def give_up(self, serving: PlannedServing, reason: str = "spilt") -> None:
        """Take a serving out before its answer; nothing replaces it."""
        self.tell(Kind.VOIDED, serving=str(serving.id), reason=reason, replacement=None)

    def taste(self, sitting: int, right: int = 0) -> None:
        """Prepare a sitting and answer all its servings, so many of them rightly."""
        self.tell(Kind.PREPARED, sitting=sitting)
        for number, serving in enumerate(self.servings(sitting)):
            self.answer(serving, right=number < right)

    def turn(self, sitting: int, lost: Mapping[UUID, int] | None = None) -> None:
        """Enter the marks of a sitting; ``lost`` names a serving's unreadable cup by its place."""
        answered = self.record.answers
        marks = {
            str(one.id): {
                str(cup.id): None if (lost or {}).get(one.id) == at else slot
                for at, (cup, slot) in enumerate(zip(one.cups, self.under[one.id], strict=True))
            }
            for one in self.servings(sitting)
            if one.id in answered
        }
        self.tell(Kind.REVEALED, sitting=sitting, marks=marks, photo=None)

    def sit(self, sitting: int, right: int = 0) -> None:
        """Taste a whole sitting and turn its cups."""
        self.taste(sitting, right)
        self.turn(sitting)

    def close(self, reason: str = "", pourer: str = "alone") -> None:
        """Close, with whatever is answered."""
        closing.close_tasting(self.bench, self.made.id, reason, pourer)

    def unseal(self, *, marks_gone: bool = False) -> bool:
        """Unseal what is closed."""
        return closing.unseal_tasting(self.bench, self.made.id, marks_gone=marks_gone)
