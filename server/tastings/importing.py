"""Take in a tasting from a document that holds; its links and codes are new."""

from datetime import datetime
from uuid import UUID

from sqlalchemy.exc import DataError, IntegrityError
from sqlmodel import Session, select

from server.blinding.marks import learn_key
from server.blinding.plans import TablePlan
from server.blinding.portable import Document, read_document, verify_document
from server.blinding.record import fold
from server.blinding.seal import read_sealed
from server.blinding.sealed import SealedTasting
from server.methods.asked import find_orders
from server.methods.registry import SERIES, UnknownMethod, get_method
from server.sheets.cards import BadSheet, read_sheet
from server.storage import queries, tables
from server.storage.portable import add_event_rows
from server.storage.write import add_sealed_rows
from server.tastings.bench import Bench
from server.tastings.refusals import Refusal

LONGEST_NAME = 300


class Unusable(Refusal):
    """The document cannot be taken in."""

    status = 422


class AlreadyHere(Refusal):
    """A tasting with this id is stored already."""


def get_leader_id(bench: Bench, name: str = "leader") -> UUID:
    """Return the leader's account, made without a password if there is none yet."""
    with bench.writing() as db:
        statement = select(tables.Account).where(tables.Account.name == name)
        account = db.exec(statement).first() or tables.Account(id=bench.draw_uuid(), name=name)
        db.add(account)
        db.commit()
        return account.id


def import_tasting(bench: Bench, account_id: UUID, text: bytes) -> UUID:
    """Store the tasting in a document, led by this account, and return its id.

    Raises
    ------
    Unusable
        The document does not hold, has no key, or says what no tasting here can.
    AlreadyHere
        The tasting is stored already.
    """
    document, sealed = _read(text)
    with bench.writing() as db:
        if queries.find_tasting(db, sealed.tasting) is not None:
            raise AlreadyHere("This tasting is here already.")
        try:
            _store(bench, db, document, sealed)
            db.add(tables.Membership(account_id=account_id, tasting_id=sealed.tasting))
            db.commit()
        except (IntegrityError, DataError, ValueError, KeyError) as error:
            raise Unusable(f"The document does not fit in here: {_say(error)}.") from error
    return sealed.tasting


def _read(text: bytes) -> tuple[Document, SealedTasting]:
    problems = verify_document(text)
    if problems:
        raise Unusable(f"The document does not hold: {problems[0]}")
    document = read_document(text)
    if document.sealed_text is None:
        raise Unusable("The document has no key: export the tasting again after unsealing.")
    if not 0 < len(document.name) <= LONGEST_NAME:
        raise Unusable(f"The tasting's name must have 1 to {LONGEST_NAME} characters.")
    sealed = read_sealed(document.sealed_text)
    if sealed.plan.table is not None:
        _check_sheet(sealed.plan.table)
    else:
        _check_method(document, sealed)
    return document, sealed


def _check_sheet(table: TablePlan) -> None:
    try:
        read_sheet(table.sheet)
    except BadSheet as error:
        raise Unusable(f"The document's score sheet is none: {_say(error)}.") from None


def _check_method(document: Document, sealed: SealedTasting) -> None:
    try:
        get_method(sealed.plan.method)
    except UnknownMethod as error:
        raise Unusable(f"The document is of another method: {error}.") from None
    if (sealed.plan.series is None) != (sealed.plan.method not in SERIES):
        raise Unusable("The document's method does not go with its plan.")
    known = find_orders(sealed.plan)
    learnt = learn_key(sealed, fold(document.events, document.seal))
    served = (serving for serving in sealed.servings if learnt.is_known(serving))
    if any(learnt.order(serving) not in known for serving in served):
        raise Unusable("The document serves cups in an order that its method does not have.")


def _store(bench: Bench, db: Session, document: Document, sealed: SealedTasting) -> None:
    record = fold(document.events, document.seal)
    db.add(
        tables.Tasting(
            id=sealed.tasting,
            name=document.name,
            join_code=_draw_free_code(bench, db),
            state=record.state.value,
            method=sealed.plan.method,
            plan=sealed.plan.model_dump(mode="json"),
            key_source="revealed" if sealed.plan.alone else "drawn",
            schema_no=sealed.schema_no,
            version=record.version,
            head=record.head,
            created_at=_find_start(document) or bench.clock(),
        )
    )
    db.flush()
    add_sealed_rows(db, sealed, document.sealed_text or b"", document.seal, bench.draw_token)
    add_event_rows(db, sealed, document.events, bench.draw_uuid)
    db.add(
        tables.PourerLink(
            token=bench.draw_token(), tasting_id=sealed.tasting, created_at=bench.clock()
        )
    )


def _find_start(document: Document) -> datetime | None:
    """Return when the first event happened: the document says nothing of the draft."""
    told = (event.body["at"] for event in document.events if event.body is not None)
    first = next(told, None)
    return None if first is None else datetime.fromisoformat(first)


def _draw_free_code(bench: Bench, db: Session) -> str:
    code = bench.draw_join_code()
    while queries.find_by_join_code(db, code):
        code = bench.draw_join_code()
    return code


def _say(error: Exception) -> str:
    cause = getattr(error, "orig", None) or error
    return " ".join(str(cause).split())[:200].rstrip(".")
