"""Spare servings: which one stands before a seat now, and for which planned one it stands."""

from uuid import UUID

from server.blinding.record import Record


def find_present(record: Record, serving: UUID) -> UUID | None:
    """Return what stands for a serving now: itself, its last spare, or nothing (void, struck)."""
    if serving in record.struck:
        return None
    present: UUID | None = serving
    for _ in record.voids:  # a spare may be spilt too, and be replaced in its turn
        if present is None or present not in record.voids:
            break
        present = record.voids[present].replacement
    return None if present in record.voids else present


def find_planned(record: Record, serving: UUID) -> UUID:
    """Return the planned serving that a spare one stands in for, or the serving itself."""
    stood_in_for = {spare: void for void, spare in record.replacements.items()}
    for _ in stood_in_for:
        serving = stood_in_for.get(serving, serving)
    return serving
