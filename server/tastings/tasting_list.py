"""The tastings an account leads."""

from collections.abc import Sequence
from uuid import UUID

from server.storage import queries
from server.storage.tables import Tasting
from server.tastings.bench import Bench


def list_led(bench: Bench, account_id: UUID) -> Sequence[Tasting]:
    """Return the tastings of an account, newest first."""
    with bench.reading() as db:
        return queries.list_led_tastings(db, account_id)


def find_led_row(bench: Bench, account_id: UUID, tasting_id: UUID) -> Tasting | None:
    """Return a tasting, draft or not, if this account leads it."""
    with bench.reading() as db:
        return queries.find_led_tasting(db, account_id, tasting_id)


def find_labels(bench: Bench, tasting_id: UUID) -> dict[str, str]:
    """Return the leader's names for the samples, by level."""
    with bench.reading() as db:
        return {one.level: one.label for one in queries.list_samples(db, tasting_id)}
