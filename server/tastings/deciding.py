"""What is done with a roast batch after unsealing: several decisions are kept, the last counts."""

from collections.abc import Mapping
from uuid import UUID

from server.blinding.events import Kind, State
from server.blinding.table_record import DECISIONS
from server.storage import queries
from server.tastings.bench import Bench
from server.tastings.journal import open_journal
from server.tastings.refusals import Invalid, NotFound

LIMITS = {"batch": 80, "decision_reason": 500, "decision_name": 80}
MESSAGES = {
    "batch": "Name the roast batch, in up to 80 characters.",
    "decision_reason": "Say why, in up to 500 characters.",
    "decision_name": "Say who decides, in up to 80 characters.",
}
CHOOSE = "Choose what is to be done."


def record_decision(bench: Bench, tasting_id: UUID, form: Mapping[str, str]) -> None:
    """Record a decision on a batch; the same as the last one changes nothing.

    Raises
    ------
    Invalid
        With one message for each field that cannot be taken.
    NotFound
        It is no scored table.
    WrongState
        It is not unsealed.
    """
    typed = {name: " ".join(form.get(name, "").split()) for name in LIMITS}
    messages = {
        name: MESSAGES[name] for name, most in LIMITS.items() if not 0 < len(typed[name]) <= most
    }
    if form.get("decision") not in DECISIONS:
        messages["decision"] = CHOOSE
    if messages:
        raise Invalid(**messages)
    body = {
        "decision": form["decision"],
        "batch": typed["batch"],
        "reason": typed["decision_reason"],
        "name": typed["decision_name"],
    }
    with open_journal(bench, tasting_id, (State.UNSEALED,)) as journal:
        if queries.load_layout(journal.db, journal.tasting).plan.table is None:
            raise NotFound("Only of a scored table a decision is recorded.")
        last = queries.load_record(journal.db, tasting_id).decision
        if last is None or body != {name: getattr(last, name) for name in body}:
            journal.append(Kind.DECIDED, **body)
