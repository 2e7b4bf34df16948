"""Tables: columns and relationships only; input passes through pydantic models first."""

from datetime import UTC, datetime
from typing import Any
from uuid import UUID, uuid4

from sqlalchemy import JSON, CheckConstraint, Column, DateTime, LargeBinary, TypeDecorator
from sqlmodel import Field, SQLModel, UniqueConstraint


class UtcTime(TypeDecorator[datetime]):
    """A moment; SQLite forgets the zone, so it is put back when read."""

    impl = DateTime(timezone=True)
    cache_ok = True

    def process_result_value(self, value: datetime | None, _dialect: Any) -> datetime | None:
        return value.replace(tzinfo=UTC) if value and value.tzinfo is None else value


class Installation(SQLModel, table=True):
    """One row: the secret that signs cookies."""

    id: int = Field(default=1, primary_key=True)
    secret: str

    __table_args__ = (CheckConstraint("id = 1", name="installation_has_one_row"),)


class Account(SQLModel, table=True):
    """A leader; without a password until the one-time link was used."""

    id: UUID = Field(default_factory=uuid4, primary_key=True)
    name: str = Field(unique=True)
    password_hash: str | None = None
    link_hash: str | None = None  # SHA-256 of the one-time sign-in link's token
    link_expires: datetime | None = Field(default=None, sa_type=UtcTime)
    # what is at hand: brewing.kit.Kit as plain data
    kit: dict[str, Any] | None = Field(default=None, sa_column=Column(JSON(none_as_null=True)))


class Tasting(SQLModel, table=True):
    """One planned test. ``plan`` is free to change until a seal exists."""

    id: UUID = Field(default_factory=uuid4, primary_key=True)
    name: str  # neutral: it may stand on an assessor's screen
    join_code: str = Field(unique=True)
    state: str = "draft"
    method: str
    plan: dict[str, Any] = Field(sa_column=Column(JSON, nullable=False))
    schema_no: int = 1
    key_source: str = "drawn"
    style: str = "own"
    version: int = 0
    head: str | None = None
    created_at: datetime = Field(sa_type=UtcTime)

    __table_args__ = (
        CheckConstraint(
            "state IN ('draft','sealed','serving','closed','unsealed','abandoned')",
            name="tasting_state_is_known",
        ),
    )


class Membership(SQLModel, table=True):
    """What an account may do in a tasting."""

    account_id: UUID = Field(foreign_key="account.id", primary_key=True)
    tasting_id: UUID = Field(foreign_key="tasting.id", primary_key=True)
    role: str = "leader"


class PourerLink(SQLModel, table=True):
    """A pourer's link: the key of its rounds (None: of all), never an answer."""

    token: str = Field(primary_key=True)
    tasting_id: UUID = Field(foreign_key="tasting.id", index=True)
    rounds: list[int] | None = Field(default=None, sa_column=Column(JSON(none_as_null=True)))
    created_at: datetime = Field(sa_type=UtcTime)


class Person(SQLModel, table=True):
    """Who sat at a seat, as they called themselves; never in the seal or the chain."""

    id: UUID = Field(default_factory=uuid4, primary_key=True)
    label: str
    erased_at: datetime | None = Field(default=None, sa_type=UtcTime)


class Sample(SQLModel, table=True):
    """What is compared."""

    id: UUID = Field(default_factory=uuid4, primary_key=True)
    tasting_id: UUID = Field(foreign_key="tasting.id", index=True)
    level: str
    label: str

    __table_args__ = (UniqueConstraint("tasting_id", "level"),)


class BrewSlot(SQLModel, table=True):
    """The n-th brew of a sample; sealed."""

    id: UUID = Field(default_factory=uuid4, primary_key=True)
    tasting_id: UUID = Field(foreign_key="tasting.id", index=True)
    sample_id: UUID = Field(foreign_key="sample.id")
    name: str
    n: int
    round: int
    brews: int = 1

    __table_args__ = (UniqueConstraint("tasting_id", "name"),)


class Comparison(SQLModel, table=True):
    """Which samples a serving compares, and why."""

    id: UUID = Field(default_factory=uuid4, primary_key=True)
    tasting_id: UUID = Field(foreign_key="tasting.id", index=True)
    name: str
    samples: list[str] = Field(sa_column=Column(JSON, nullable=False))
    purpose: str = "test"

    __table_args__ = (UniqueConstraint("tasting_id", "name"),)


class Seat(SQLModel, table=True):
    """An assessor's place, with its own unguessable link."""

    id: UUID = Field(default_factory=uuid4, primary_key=True)
    tasting_id: UUID = Field(foreign_key="tasting.id", index=True)
    number: int
    spare: bool = False
    token: str = Field(unique=True)
    person_id: UUID | None = Field(default=None, foreign_key="person.id")
    taken_at: datetime | None = Field(default=None, sa_type=UtcTime)
    claim_key: str | None = None  # the form that took the seat, so a double tap takes one
    instructed_at: datetime | None = Field(default=None, sa_type=UtcTime)

    __table_args__ = (
        UniqueConstraint("tasting_id", "number"),
        UniqueConstraint("tasting_id", "claim_key"),
    )


class Serving(SQLModel, table=True):
    """The cups put before one seat at once."""

    id: UUID = Field(primary_key=True)
    tasting_id: UUID = Field(foreign_key="tasting.id", index=True)
    seat_id: UUID = Field(foreign_key="seat.id", index=True)
    comparison_id: UUID = Field(foreign_key="comparison.id")
    sitting: int = 1
    round: int
    pours: list[str] | None = Field(default=None, sa_column=Column(JSON(none_as_null=True)))

    __table_args__ = (UniqueConstraint("seat_id", "sitting", "round"),)


class Cup(SQLModel, table=True):
    """One coded portion. It carries no sample, brew or order."""

    id: UUID = Field(primary_key=True)
    tasting_id: UUID = Field(foreign_key="tasting.id", index=True)
    code: str
    # numbers the bowls under one code; 0: it is the only one. A shared bowl is a cup for each seat.
    bowl: int = Field(default=0, sa_column_kwargs={"server_default": "0"})


class Placement(SQLModel, table=True):
    """Where a cup stands in a serving, from left to right."""

    serving_id: UUID = Field(foreign_key="serving.id", primary_key=True)
    position: int = Field(primary_key=True)
    cup_id: UUID = Field(foreign_key="cup.id", unique=True)
    tasting_id: UUID = Field(foreign_key="tasting.id", index=True)
    role: str = "coded"


class CupTruth(SQLModel, table=True):
    """The only key table: which cup is of which brew slot. One module reads it."""

    cup_id: UUID = Field(foreign_key="cup.id", primary_key=True)
    slot_id: UUID = Field(foreign_key="brewslot.id")
    tasting_id: UUID = Field(foreign_key="tasting.id", index=True)
    source: str = "drawn"


class Seal(SQLModel, table=True):
    """The sealed text, verbatim, and its SHA-256."""

    tasting_id: UUID = Field(foreign_key="tasting.id", primary_key=True)
    text: bytes = Field(sa_column=Column(LargeBinary, nullable=False))
    hash: str


class Answer(SQLModel, table=True):
    """What a seat says of one serving and pass; never changed."""

    id: UUID = Field(default_factory=uuid4, primary_key=True)
    tasting_id: UUID = Field(foreign_key="tasting.id", index=True)
    seat_id: UUID = Field(foreign_key="seat.id")
    serving_id: UUID = Field(foreign_key="serving.id", index=True)
    pass_name: str = ""
    revision: int
    body: dict[str, Any] | None = Field(sa_column=Column(JSON(none_as_null=True)))
    client_key: str
    device_at: str | None = None
    received_at: datetime = Field(sa_type=UtcTime)
    source: str = "device"

    __table_args__ = (
        UniqueConstraint("seat_id", "client_key"),
        UniqueConstraint("serving_id", "pass_name", "revision"),
    )


class Accepted(SQLModel, table=True):
    """The lock: the first answer of a serving and pass."""

    serving_id: UUID = Field(foreign_key="serving.id", primary_key=True)
    pass_name: str = Field(default="", primary_key=True)
    answer_id: UUID = Field(foreign_key="answer.id", unique=True)
    tasting_id: UUID = Field(foreign_key="tasting.id", index=True)


class Event(SQLModel, table=True):
    """Anything that happens after sealing, chained from the seal."""

    tasting_id: UUID = Field(foreign_key="tasting.id", primary_key=True)
    seq: int = Field(primary_key=True)
    kind: str
    body: dict[str, Any] | None = Field(default=None, sa_column=Column(JSON(none_as_null=True)))
    leaf_salt: str | None = None
    leaf_hash: str
    head: str


class Photo(SQLModel, table=True):
    """A picture of turned cups, without anything but its pixels; an event names its hash."""

    hash: str = Field(primary_key=True)
    tasting_id: UUID = Field(foreign_key="tasting.id", primary_key=True)
    image: bytes = Field(sa_column=Column(LargeBinary, nullable=False))


class Draft(SQLModel, table=True):
    """An answer not yet locked, so that reload and a second device find it again."""

    seat_id: UUID = Field(foreign_key="seat.id", primary_key=True)
    serving_id: UUID = Field(foreign_key="serving.id", primary_key=True)
    pass_name: str = Field(default="", primary_key=True)
    body: dict[str, Any] = Field(sa_column=Column(JSON, nullable=False))


class SheetCard(SQLModel, table=True):
    """One version of a score sheet that a leader keeps; all versions share a ``line``."""

    id: UUID = Field(default_factory=uuid4, primary_key=True)
    account_id: UUID = Field(foreign_key="account.id", index=True)
    line: UUID
    title: str
    version: int
    body: dict[str, Any] = Field(sa_column=Column(JSON, nullable=False))
    created_at: datetime = Field(sa_type=UtcTime)

    __table_args__ = (UniqueConstraint("line", "version"),)


class RecipeCard(SQLModel, table=True):
    """One version of a recipe that a leader keeps; all versions share a ``line``."""

    id: UUID = Field(default_factory=uuid4, primary_key=True)
    account_id: UUID = Field(foreign_key="account.id", index=True)
    line: UUID
    title: str
    version: int
    body: dict[str, Any] = Field(sa_column=Column(JSON, nullable=False))  # brewing.recipe.Recipe
    house: bool = False  # the reference that others are held against
    created_at: datetime = Field(sa_type=UtcTime)

    __table_args__ = (UniqueConstraint("line", "version"),)


class Specimen(SQLModel, table=True):
    """One piece of a part: its state, and the brews it had made before it was written down."""

    id: UUID = Field(default_factory=uuid4, primary_key=True)
    account_id: UUID = Field(foreign_key="account.id", index=True)
    label: str
    part: str
    state: str
    brews_before: int = 0
    note: str = ""
    retired: bool = False
    created_at: datetime = Field(sa_type=UtcTime)

    __table_args__ = (UniqueConstraint("account_id", "label"),)


class Brew(SQLModel, table=True):
    """A brew on the bench, as it goes on: of a recipe, for a trial, or for a sealed slot.

    For a slot it is the working copy; what counts there is the event that it becomes.
    """

    id: UUID = Field(default_factory=uuid4, primary_key=True)
    account_id: UUID = Field(foreign_key="account.id", index=True)
    recipe_id: UUID | None = Field(default=None, foreign_key="recipecard.id")
    recipe: dict[str, Any] = Field(sa_column=Column(JSON, nullable=False))  # a copy, by value
    specimen_id: UUID | None = Field(default=None, foreign_key="specimen.id", index=True)
    tasting_id: UUID | None = Field(default=None, foreign_key="tasting.id", index=True)
    level: str | None = None  # the sample it tries out, or serves
    slot: str | None = None  # the sealed slot it is made for
    body: dict[str, Any] = Field(sa_column=Column(JSON, nullable=False))  # brewing.brewed.Brewed
    created_at: datetime = Field(sa_type=UtcTime)
    kept_at: datetime | None = Field(default=None, sa_type=UtcTime)  # finished, and counted


class FindingCache(SQLModel, table=True):
    """A part of a scored table's finding, worked out once for each version of its record.

    ``kind`` begins with the program that made it.
    """

    tasting_id: UUID = Field(foreign_key="tasting.id", primary_key=True)
    version: int = Field(primary_key=True)
    kind: str = Field(primary_key=True)
    body: bytes = Field(sa_column=Column(LargeBinary, nullable=False))
