"""Brews on the bench as rows, for tests of what reads them."""

from typing import Any
from uuid import UUID

from server.storage import tables
from server.tastings.bench import Bench

RECIPE = {"title": "Green tea in the pot", "dose_g": "20", "water_g": "300"}


def keep_trial(
    bench: Bench, account: tables.Account, tasting_id: UUID, level: str, **body: Any
) -> None:
    """Keep a trial brew of a sample of a draft."""
    now = bench.clock()
    with bench.writing() as db:
        db.add(
            tables.Brew(
                account_id=account.id,
                recipe=RECIPE,
                tasting_id=tasting_id,
                level=level,
                body=body,
                created_at=now,
                kept_at=now,
            )
        )
        db.commit()
