"""Leaders: the one-time link, the password, the secret that signs their cookie."""

import hashlib
import hmac
from datetime import timedelta
from typing import TYPE_CHECKING
from uuid import UUID

from sqlmodel import Session, col, select

from server.storage import tables
from server.tastings.bench import Bench
from server.tastings.refusals import Invalid, NotFound

if TYPE_CHECKING:
    from argon2 import PasswordHasher

LINK_LASTS = timedelta(days=7)
MIN_PASSWORD, MAX_PASSWORD = 10, 200


def find_secret(bench: Bench) -> str:
    """Return the installation's signing secret, drawn on first use."""
    with bench.reading() as db:
        row = db.get(tables.Installation, 1)
    if row is not None:
        return row.secret
    with bench.writing() as db:
        row = db.get(tables.Installation, 1) or tables.Installation(secret=bench.draw_token(256))
        db.add(row)
        db.commit()
        return row.secret


def issue_link(bench: Bench, name: str = "leader") -> str:
    """Return the token of a new one-time sign-in link; earlier links stop working."""
    token = bench.draw_token(256)
    with bench.writing() as db:
        account = _find_account(db, name) or tables.Account(id=bench.draw_uuid(), name=name)
        account.link_hash = _hash(token)
        account.link_expires = bench.clock() + LINK_LASTS
        db.add(account)
        db.commit()
    return token


def has_password(bench: Bench) -> bool:
    """Tell whether a leader can sign in without a one-time link."""
    with bench.reading() as db:
        statement = select(tables.Account).where(col(tables.Account.password_hash).is_not(None))
        return db.exec(statement).first() is not None


def find_link(bench: Bench, token: str) -> tables.Account | None:
    """Return the account whose one-time link this is, while it is good."""
    with bench.reading() as db:
        return _find_by_link(bench, db, token)


def set_password(bench: Bench, token: str, password: str) -> tables.Account:
    """Set the password by a one-time link, which is used up by it."""
    if not MIN_PASSWORD <= len(password) <= MAX_PASSWORD:
        raise Invalid(password=f"Take {MIN_PASSWORD} to {MAX_PASSWORD} characters.")
    digest = _hasher().hash(password)
    with bench.writing() as db:
        account = _find_by_link(bench, db, token)
        if account is None:
            raise NotFound("This link was used, or is too old.")
        account.password_hash, account.link_hash = digest, None
        db.add(account)
        db.commit()
        return account


def check_password(bench: Bench, name: str, password: str) -> tables.Account | None:
    """Return the account if name and password fit; as slow for unknown names."""
    from argon2.exceptions import InvalidHashError, VerificationError

    with bench.reading() as db:
        account = _find_account(db, name)
    stored = account.password_hash if account else None
    try:
        _hasher().verify(stored or DECOY, password[:MAX_PASSWORD])
    except (VerificationError, InvalidHashError):
        return None
    return account if stored else None


def find_account(bench: Bench, account_id: UUID) -> tables.Account | None:
    """Return an account by its id."""
    with bench.reading() as db:
        return db.get(tables.Account, account_id)


def fingerprint(account: tables.Account) -> str:
    """Return what a cookie carries of the password, so that a new one ends old cookies."""
    return _hash(account.password_hash or "")[:16]


DECOY = (
    "$argon2id$v=19$m=65536,t=3,p=4$AAAAAAAAAAAAAAAAAAAAAA$"
    "AAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAA"
)


def _hasher() -> "PasswordHasher":
    from argon2 import PasswordHasher  # loaded when used

    return PasswordHasher()


def _hash(text: str) -> str:
    return hashlib.sha256(text.encode()).hexdigest()


def _find_account(db: Session, name: str) -> tables.Account | None:
    return db.exec(select(tables.Account).where(tables.Account.name == name)).first()


def _find_by_link(bench: Bench, db: Session, token: str) -> tables.Account | None:
    given = _hash(token)
    account = db.exec(select(tables.Account).where(tables.Account.link_hash == given)).first()
    if account is None or not hmac.compare_digest(account.link_hash or "", given):
        return None
    fresh = account.link_expires is not None and account.link_expires > bench.clock()
    return account if fresh else None
