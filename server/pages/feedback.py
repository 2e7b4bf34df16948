"""What an assessor reads of themselves after unsealing, at their own link alone."""

from dataclasses import dataclass

from fastapi import APIRouter, Request, Response

from server.pages.deps import AtBench
from server.pages.rendering import show
from server.reports.table_feedback import Feedback
from server.tastings.feedback import find_feedback

router = APIRouter(prefix="/seat/{token}")


@dataclass(frozen=True)
class FeedbackPage:
    """A seat's own scores against the panel; ``feedback`` is None if it has none that count."""

    token: str
    number: int
    tasting: str
    feedback: Feedback | None


@router.get("/feedback")
def seat_feedback(request: Request, bench: AtBench, token: str) -> Response:
    """Show a seat its own feedback."""
    found = find_feedback(bench, token)
    view = FeedbackPage(token, found.number, found.tasting, found.feedback)
    return show(request, "assessor/feedback", view)
