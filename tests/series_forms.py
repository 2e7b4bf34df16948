"""The form of a rising series, and a sealed one made of it."""

from typing import Any
from uuid import UUID

from server.tastings.bench import Bench
from server.tastings.drafts import keep_draft
from server.tastings.pouring import void_serving
from server.tastings.series_planning import read_series_plan

SERIES = {
    "question": "From how much rock sugar on is it noticed in our green tea?",
    "base": "green tea",
    "substance": "rock sugar",
    "unit": "g/L",
    "steps": "0.5 1 2 4",
    "pourer": "absent",
    "assessors": "6",
    "spare_seats": "1",
    "cup_ml": "30",
    "pot_ml": "1000",
}


def series_form(**changed: str) -> dict[str, str]:
    """Return a filled-in form of a series."""
    return SERIES | changed


def draft_series(bench: Bench, account_id: UUID, **changed: str) -> UUID:
    """Keep a draft of a series."""
    planned = read_series_plan(series_form(**changed))
    return keep_draft(bench, account_id, planned.plan, planned.labels)


def answer_series(play: Any, right: dict[int, str]) -> None:
    """Answer seat by seat: ``+`` rightly, ``o`` wrongly, ``.`` spilt, a letter a step."""
    for seat, marks in right.items():
        for serving, mark in zip(play.made.servings(seat), marks, strict=True):
            if mark == ".":
                void_serving(play.bench, play.bar, serving.id, "spilt")
            else:
                play.send(seat, serving, play.form(serving, right=mark == "+"))
