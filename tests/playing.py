"""Play a sealed tasting through its use cases, as the people at the bench would."""

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import count
from typing import Any
from uuid import UUID

from server.blinding.record import Record
from server.blinding.sealed import PlannedServing
from server.storage import queries
from server.tastings import answering, closing, pouring
from server.tastings.answering import Outcome, SeatPlace
from server.tastings.bench import Bench
from server.tastings.pouring import Bar
from tests.answers import Form, find_answers

_keys = count()


@dataclass(frozen=True)
class Play:
    """A tasting being played; ``made`` is what the fixture ``make_tasting`` returned."""

    bench: Bench
    made: Any

    @property
    def record(self) -> Record:
        """What is the case now."""
        with self.bench.reading() as db:
            return queries.load_record(db, self.made.id)

    @property
    def bar(self) -> Bar:
        """What the pourer of all rounds sees."""
        bar = pouring.find_bar(self.bench, self.made.pourer)
        assert bar
        return bar

    def place(self, seat: int) -> SeatPlace:
        """A seat as it stands now."""
        place = answering.find_place(self.bench, self.made.tokens[seat])
        assert place
        return place

    def pick(self, serving: PlannedServing, *, right: bool = True) -> str:
        """The code of the odd cup, or of another one."""
        odd = self.made.odd(serving)
        return odd if right else next(code for code in serving.codes if code != odd)

    def form(self, serving: PlannedServing, *, right: bool = True) -> Form:
        """A right answer, or a wrong one, whatever the ballot asks for."""
        return find_answers(self.made.sealed, serving, right=right)[0]

    def send(self, seat: int, serving: PlannedServing, form: Mapping[str, str]) -> Outcome:
        """Send an answer from a form of its own."""
        token = self.made.tokens[seat]
        return answering.record_answer(self.bench, token, serving.id, form, f"form-{next(_keys)}")

    def answer(self, seat: int, *, right: bool = True) -> Outcome:
        """Answer what stands before a seat now."""
        serving = self.place(seat).current
        assert serving
        return self.send(seat, serving, self.form(serving, right=right))

    def contest(self, seat: int = 1) -> UUID:
        """Answer the first serving of a seat twice, differently."""
        serving = self.made.servings(seat)[0]
        for right in (True, False):
            self.send(seat, serving, self.form(serving, right=right))
        return serving.id

    def fill(self, right: int) -> None:
        """Answer every planned serving, so many of them rightly."""
        plan = self.made.sealed.plan
        for number in range(plan.trials):
            seat = number % plan.assessors + 1
            serving = self.made.servings(seat)[number // plan.assessors]
            self.send(seat, serving, self.form(serving, right=number < right))

    def close(self, reason: str = "the kettle broke", pourer: str = "absent") -> None:
        """Close, with whatever is answered."""
        closing.close_tasting(self.bench, self.made.id, reason, pourer)

    def unseal(self) -> bool:
        """Close and unseal."""
        self.close()
        return closing.unseal_tasting(self.bench, self.made.id)
