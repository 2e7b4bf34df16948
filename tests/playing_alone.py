"""Play a sealed tasting of one person who pours and tastes, cups, marks and all."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from random import Random
from typing import Any
from uuid import UUID

from server.blinding.record import Record
from server.blinding.sealed import PlannedServing
from server.storage import queries
from server.tastings import alone as own
from server.tastings import answering, closing
from server.tastings.bench import Bench
from server.tastings.marking import LOST, enter_marks, name_field


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

    @property
    def token(self) -> str:
        """The word in the link of the only seat."""
        with self.bench.reading() as db:
            return queries.list_seats(db, self.made.id)[0].token

    def pick(self, serving: PlannedServing, *, right: bool = True) -> str:
        """The code of the odd cup, of a pair that of the cup with more; or of another one."""
        samples = [slot[0] for slot in self.under[serving.id]]
        direction = self.made.sealed.plan.direction
        if len(samples) == 2:
            wanted = samples.index(direction.more)
        else:
            wanted = next(at for at, one in enumerate(samples) if samples.count(one) == 1)
        return serving.codes[wanted if right else (wanted + 1) % len(samples)]

    def answer(self, serving: PlannedServing, *, right: bool = True, **more: Any) -> None:
        """Pour, shuffle, place, taste, lock; ``more`` are fields of the ballot."""
        own.record_shuffle(self.bench, self.token, serving.id, more.pop("seconds", 24))
        answering.confirm_codes(self.bench, self.token, serving.id, differ=False)
        form = {"pick": self.pick(serving, right=right), "cue": "", "comment": ""} | more
        answering.record_answer(self.bench, self.token, serving.id, form, f"k{serving.round}")

    def give_up(self, serving: PlannedServing, words: str = "on the tray") -> None:
        """Take a serving out before its answer; nothing replaces it."""
        form = {"why": "spilt", "reason": words}
        own.give_up_serving(self.bench, self.token, serving.id, form)

    def taste(self, sitting: int, right: int = 0) -> None:
        """Prepare a sitting and answer all its servings, so many of them rightly."""
        own.prepare_sitting(self.bench, self.token, sitting)
        for number, serving in enumerate(self.servings(sitting)):
            self.answer(serving, right=number < right)

    def turn(self, sitting: int, lost: Mapping[UUID, int] | None = None) -> None:
        """Enter the marks of a sitting; ``lost`` names a serving's unreadable cup by its place."""
        form = {
            name_field(cup): LOST if (lost or {}).get(one.id) == at else slot
            for one in self.servings(sitting)
            for at, (cup, slot) in enumerate(zip(one.cups, self.under[one.id], strict=True))
        }
        enter_marks(self.bench, self.token, sitting, form)

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
