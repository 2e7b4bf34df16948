"""Lock a seat's whole table at once, or any other answer: what a seat sends as its last word."""

from collections.abc import Mapping
from typing import Any
from uuid import UUID

from server.blinding.sealed import PlannedServing
from server.sheets.values import Answer, list_missing
from server.tastings import answering
from server.tastings.answering import Incoming, Outcome, SeatPlace, get_place, get_serving
from server.tastings.bench import Bench
from server.tastings.refusals import Invalid
from server.tastings.scoring import Spread, find_spread, is_table
from server.tastings.scoring_drafts import Draft, find_kept, merge_form, save_values
from server.tastings.scoring_passes import HELD, is_refused


def lock_answer(
    bench: Bench,
    token: str,
    serving_id: UUID,
    form: Mapping[str, str],
    client_key: str,
    device_at: str | None = None,
    sent_at: str | None = None,
) -> Outcome:
    """Lock what a seat answers, whatever is asked of it; as `answering.record_answer`.

    Raises
    ------
    Invalid
        Of a table: where something is still to be said, cannot be, or waits for the first
        sip. The rest is kept as a draft.
    """
    place = get_place(bench, token)
    serving = get_serving(place, serving_id)
    if is_table(place):
        body = _read_table(bench, place, serving, form)
    else:
        body = answering.parse_ballot(place, serving, form)
    return answering.lock_body(
        bench, Incoming(place, serving_id, body, client_key, device_at, sent_at)
    )


def _read_table(
    bench: Bench, place: SeatPlace, serving: PlannedServing, form: Mapping[str, str]
) -> dict[str, Any]:
    spread = find_spread(place, serving)
    if spread is None:  # a warm-up cup: tasted, and nothing said of it
        return Answer().model_dump(mode="json")
    kept = find_kept(bench, place, serving)
    draft, problems = merge_form(bench, place, spread, kept, form, last=True)
    problems = _list_required(place, spread, draft) | problems
    if problems:
        save_values(bench, place.seat.token, serving.id, form)
        raise Invalid(**problems)
    return draft.answer.model_dump(mode="json")


def _list_required(place: SeatPlace, spread: Spread, draft: Draft) -> dict[str, str]:
    missing = list_missing(spread.sheet, spread.stands, draft.answer.values)
    return {
        one.place.field: HELD if is_refused(place, spread.serving, one.place.time) else one.message
        for one in missing
        if one.required
    }
