"""The one way to write after sealing: lock the tasting, append events, commit."""

from collections.abc import Collection, Iterator
from contextlib import contextmanager
from typing import Any
from uuid import UUID

from sqlmodel import Session

from server.blinding import chain
from server.blinding.events import Kind, State
from server.storage import queries, tables
from server.tastings.bench import Bench
from server.tastings.refusals import NotFound, WrongState
from server.tastings.stopping import judge_complete_blocks

# What a tasting turns into after an event of this kind.
TURNS = {
    Kind.SERVING_BEGAN: State.SERVING,
    Kind.CLOSED: State.CLOSED,
    Kind.UNSEALED: State.UNSEALED,
    Kind.ABANDONED: State.ABANDONED,
}

AT_THE_TABLE = (State.SEALED, State.SERVING)
OVER = (State.CLOSED, State.UNSEALED, State.ABANDONED)


class Journal:
    """Appends events to a tasting whose row is locked until the commit."""

    def __init__(self, bench: Bench, db: Session, tasting: tables.Tasting, head: str) -> None:
        self.db, self.tasting = db, tasting
        self._bench, self._head = bench, head
        self.appended: set[Kind] = set()

    @property
    def state(self) -> State:
        """The state after the last appended event."""
        return State(self.tasting.state)

    def append(self, kind: Kind, **body: Any) -> None:
        """Append one event; ``at`` is put in here."""
        body["at"] = self._bench.clock().isoformat(timespec="milliseconds")
        salt = f"{self._bench.rng.getrandbits(128):032x}"
        event = chain.link(self._head, self.tasting.version + 1, kind, body, salt)
        self.db.add(tables.Event(tasting_id=self.tasting.id, **event.model_dump()))
        self._head = self.tasting.head = event.head
        self.appended.add(kind)
        self.tasting.version = event.seq
        if kind in TURNS and self.state != State.ABANDONED:
            self.tasting.state = TURNS[kind]

    def begin_serving(self) -> None:
        """Note that serving begins, with the first tick or the first opened serving."""
        if self.state == State.SEALED:
            self.append(Kind.SERVING_BEGAN)


@contextmanager
def open_journal(bench: Bench, tasting_id: UUID, allowed: Collection[State]) -> Iterator[Journal]:
    """Lock a sealed tasting, yield its journal, commit when the block ends well.

    Raises
    ------
    NotFound
        No such tasting.
    WrongState
        Its state is not one of ``allowed``.
    """
    with bench.writing() as db:
        tasting = queries.lock_tasting(db, tasting_id)
        if tasting is None:
            raise NotFound("There is no such tasting.")
        if tasting.state not in allowed:
            raise WrongState(State(tasting.state))
        seal = queries.find_seal_hash(db, tasting_id)
        if seal is None:
            raise WrongState(State.DRAFT)
        journal = Journal(bench, db, tasting, tasting.head or seal)
        yield journal
        if journal.state in AT_THE_TABLE:
            judge_complete_blocks(journal)
        db.commit()
