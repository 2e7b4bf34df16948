"""Why numbers may not be those of the planned test."""

from collections.abc import Sequence
from dataclasses import dataclass

from server.blinding.events import Kind, State
from server.blinding.record import Record
from server.reports.blindness import Blinding

RESULTS_LOOK = "results_look"
STOPPED_AFTER_KEY_LOOK = "stopped_after_key_look"
SEAL_MISMATCH = "seal_mismatch"
CHAIN_BROKEN = "chain_broken"
NOT_UNSEALED = "not_unsealed"
NOT_BLIND = "not_blind"
ABANDONED = "abandoned"
STOPPED_KNOWING = "stopped_knowing"
CUES = "cues"
EXTENDS = "extends"
CONTRADICTED = "contradicted"


@dataclass(frozen=True)
class Course:
    """How a tasting went, as far as its numbers do not show it.

    Attributes
    ----------
    stopped
        Fewer answers count than were planned.
    stopped_knowing
        Alone it ended short of its plan when some marks were known.
    cued
        Without the answers that named a cue the planned level is not reached any more.
    extends
        Seal of an earlier tasting whose result was known at planning; or empty.
    contradicted
        The answers that count would not have made a sequential plan say what it said.
    """

    stopped: bool
    stopped_knowing: bool = False
    cued: bool = False
    extends: str = ""
    contradicted: bool = False


def find_exploratory_reasons(
    record: Record, blinding: Blinding, problems: Sequence[str], course: Course
) -> tuple[str, ...]:
    """List every reason to read the numbers as a lead only.

    Stopping short of the plan is no reason by itself: the exact p of a smaller number of
    answers is valid as long as nobody knew key or results.
    """
    reasons = {
        ABANDONED: record.state == State.ABANDONED,
        SEAL_MISMATCH: record.seal_matches is False,
        CHAIN_BROKEN: bool(problems),
        RESULTS_LOOK: _looked(record, Kind.RESULTS_LOOKED),
        STOPPED_AFTER_KEY_LOOK: course.stopped and _looked(record, Kind.KEY_LOOKED),
        STOPPED_KNOWING: course.stopped_knowing,
        CUES: course.cued,
        EXTENDS: bool(course.extends),
        CONTRADICTED: course.contradicted,
        NOT_BLIND: blinding.level == 0,
        NOT_UNSEALED: record.state not in (State.UNSEALED, State.ABANDONED),
    }
    return tuple(reason for reason, holds in reasons.items() if holds)


def _looked(record: Record, kind: Kind) -> bool:
    return any(look.kind == kind and look.before_closing for look in record.looks)
