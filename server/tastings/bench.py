"""What every use case needs from outside: the database, a source of chance, a clock."""

import random
from contextlib import AbstractContextManager
from dataclasses import dataclass, field
from datetime import UTC, datetime
from typing import Protocol
from uuid import UUID

from sqlalchemy import Engine
from sqlmodel import Session

from server.storage import engine as engines

EASY_TO_READ = "ABCDEFGHJKLMNPQRTUVWXY346789"  # nothing that looks like something else


class Clock(Protocol):
    """Tells the time in UTC."""

    def __call__(self) -> datetime: ...


def read_clock() -> datetime:
    """Return the present moment in UTC."""
    return datetime.now(UTC)


@dataclass(frozen=True)
class Bench:
    """The surroundings of the use cases; tests bring a seeded ``rng`` and a stopped clock."""

    engine: Engine
    rng: random.Random = field(default_factory=random.SystemRandom)
    clock: Clock = read_clock

    def reading(self) -> AbstractContextManager[Session]:
        """Open a session that only reads."""
        return engines.reading(self.engine)

    def writing(self) -> AbstractContextManager[Session]:
        """Open a session that writes."""
        return engines.writing(self.engine)

    def draw_token(self, bits: int = 160) -> str:
        """Return an unguessable word for a link, safe in an address."""
        return f"{self.rng.getrandbits(bits):0{bits // 4}x}"

    def draw_join_code(self) -> str:
        """Return a short code to type: it opens the list of free seats, nothing more."""
        return "".join(self.rng.choices(EASY_TO_READ, k=6))

    def draw_uuid(self) -> UUID:
        """Return a random version 4 UUID."""
        return UUID(int=self.rng.getrandbits(128), version=4)
