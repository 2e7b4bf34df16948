"""What a leader has at hand: read from a form, kept with the account."""

from collections.abc import Mapping
from dataclasses import asdict
from typing import Annotated
from uuid import UUID

from pydantic import BaseModel, Field, ValidationError

from server.brewing.kit import CUP_WAIT_MIN, Kit
from server.storage import tables
from server.tastings.bench import Bench
from server.tastings.planning import Comma
from server.tastings.refusals import Invalid

NEEDED = ("kit_cups", "kit_pots")
"""Fields that say whether anything is said at all."""


class KitInput(BaseModel):
    """What is at hand, as a form has it."""

    kit_cups: Annotated[int, Comma, Field(ge=1, le=2000)]
    kit_pots: Annotated[int, Comma, Field(ge=1, le=100)]
    kit_flasks: Annotated[int, Comma, Field(ge=0, le=100)] = 0
    kit_hands: Annotated[int, Comma, Field(ge=1, le=20)] = 1
    kit_wait_min: Annotated[int, Comma, Field(ge=5, le=60)] = CUP_WAIT_MIN


MESSAGES = {
    "kit_cups": "Identical cups: a whole number from 1 to 2000.",
    "kit_pots": "Pots that can brew at the same time: a whole number from 1 to 100.",
    "kit_flasks": "Flasks: a whole number from 0 to 100.",
    "kit_hands": "People who pour: a whole number from 1 to 20.",
    "kit_wait_min": "Minutes from pour to first sip: a whole number from 5 to 60.",
}


def read_kit(form: Mapping[str, str]) -> Kit | None:
    """Return what is at hand; None where neither cups nor pots are said.

    Raises
    ------
    Invalid
        With one message for each field that cannot be taken.
    """
    if not any(form.get(name, "").strip() for name in NEEDED):
        return None
    given = {name: form[name] for name in KitInput.model_fields if form.get(name, "").strip()}
    try:
        read = KitInput.model_validate(given)
    except ValidationError as error:
        wrong = {str(one["loc"][0]) for one in error.errors()}
        raise Invalid(**{name: MESSAGES[name] for name in wrong}) from None
    return Kit(**{name.removeprefix("kit_"): value for name, value in read})


def find_kit(account: tables.Account) -> Kit | None:
    """Return what this leader said is at hand."""
    return Kit(**account.kit) if account.kit else None


def kit_form(kit: Kit | None) -> dict[str, str]:
    """Return what is at hand as a form shows it."""
    if kit is None:
        defaults = {name: field.default for name, field in KitInput.model_fields.items()}
        return {name: "" if name in NEEDED else str(value) for name, value in defaults.items()}
    return {f"kit_{name}": str(value) for name, value in asdict(kit).items()}


def keep_kit(bench: Bench, account_id: UUID, kit: Kit | None) -> None:
    """Keep what is at hand for the next time; None forgets it."""
    with bench.writing() as db:
        account = db.get_one(tables.Account, account_id)
        account.kit = asdict(kit) if kit else None
        db.add(account)
        db.commit()
