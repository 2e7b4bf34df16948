"""The kinds of event that may follow a seal, and what each one's body says."""

from collections.abc import Mapping
from enum import StrEnum
from typing import Any

from server.blinding.plain import Frozen


class State(StrEnum):
    """States of a tasting, in order; ``abandoned`` ends one without a finding."""

    DRAFT = "draft"
    SEALED = "sealed"
    SERVING = "serving"
    CLOSED = "closed"
    UNSEALED = "unsealed"
    ABANDONED = "abandoned"


class Kind(StrEnum):
    """Every body has ``at`` (server clock, ISO 8601, UTC); further members stand here.

    A serving is named by its id, a seat by its number, a slot by its name.
    """

    STRUCK = "struck"  # serving, reason; before serving begins: it will not be poured
    CHECKED = "checked"  # item (one of CHECKLIST), done
    SERVING_BEGAN = "serving_began"
    SEAT_TAKEN = "seat_taken"  # seat
    POURED = "poured"  # slot, done
    SERVED = "served"  # serving, done
    # The next three belong to tastings alone; marks: {serving: {cup: slot, or null: lost}}
    PREPARED = "prepared"  # sitting; cups marked underneath and covered
    SHUFFLED = "shuffled"  # serving, seconds by the device's clock, or null
    REVEALED = "revealed"  # sitting, marks, photo (SHA-256 of the picture) or null
    # The next five belong to scored tables alone
    # sitting, seats (who took part, by number; empty: not said), words (agreed on)
    CALIBRATED = "calibrated"
    WORDS_CHOSEN = "words_chosen"  # seat, words (its own, before its first cup); once
    # sitting, step (one of table_record.STEPS), code and bowl (null: the whole table),
    # seat (whose hands, or null), celsius (decimal string of the check bowl, else null)
    BOWL_STEP = "bowl_step"
    DISCUSSED = "discussed"  # text (the table's words, after all are locked), who
    DECIDED = "decided"  # decision (one of table_record.DECISIONS), batch, reason, name
    CODES_CONFIRMED = "codes_confirmed"  # serving
    CODES_DIFFER = "codes_differ"  # serving
    CALL_SETTLED = "call_settled"  # serving
    # slot, tds [decimal strings], temperature_c?, fill_g?, time?, note; brew? (what else was
    # done and read: `brewing.brewed.Brewed` as plain JSON)
    BREWED = "brewed"
    # slot, found {property: verdict of the match}, reason (empty unless not matched)
    RELEASED = "released"
    # serving, pass, revision, answer, client_key, device_at?, sent_at?, source
    ANSWERED = "answered"
    CONTESTED = "contested"  # as answered; a different answer to an answered serving
    CONTEST_SETTLED = "contest_settled"  # serving, revision that counts, or null: void
    LATE = "late"  # as answered; came after closing
    VOIDED = "voided"  # serving, reason, replacement? (id of a spare serving)
    # block (its number), stop; of a plan that the answers may end: nothing else is said
    BLOCK_JUDGED = "block_judged"
    KEY_LOOKED = "key_looked"  # who (taster, present, away), reason
    RESULTS_LOOKED = "results_looked"  # how
    CLOSED = "closed"  # reason, pourer (what was really done, as in the plan)
    UNSEALED = "unsealed"  # seal_matches
    ABANDONED = "abandoned"  # reason
    ERASED = "erased"  # seq of the event whose body and salt are gone


CHECKLIST = ("silent", "out_of_sight", "roaster_off", "no_smell")
"""What a leader checks in the room before serving; what is not ticked limits the finding."""


class Event(Frozen):
    """One link of the chain; ``body`` and ``leaf_salt`` are None once erased."""

    seq: int
    kind: Kind
    body: Mapping[str, Any] | None
    leaf_salt: str | None
    leaf_hash: str
    head: str
