"""Lock a draft before it is changed, so that nothing is changed once it is sealed."""

from uuid import UUID

from sqlmodel import Session

from server.blinding.events import State
from server.storage import queries, tables
from server.tastings.refusals import NotFound, WrongState


def lock_draft(db: Session, tasting_id: UUID) -> tables.Tasting:
    """Load a draft and keep every other writer of it out until the commit.

    Raises
    ------
    NotFound
        There is no such tasting.
    WrongState
        It is sealed already.
    """
    tasting = queries.lock_tasting(db, tasting_id)
    if tasting is None:
        raise NotFound("There is no such tasting.")
    if tasting.state != State.DRAFT:
        raise WrongState(State(tasting.state))
    return tasting
