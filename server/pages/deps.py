"""What routes ask for: the bench, the form, the leader, the tasting they lead."""

from collections.abc import Mapping
from typing import Annotated, cast
from uuid import UUID

from fastapi import Depends, Request
from itsdangerous import BadSignature, URLSafeTimedSerializer

from server.storage.tables import Account, Tasting
from server.tastings import accounts, progress, tasting_list
from server.tastings.bench import Bench
from server.tastings.progress import LedTasting
from server.tastings.refusals import NotFound

COOKIE = "oddcup_leader"
SIGNED_IN_FOR = 60 * 60 * 24 * 14
MOST_FIELDS = 5000  # a sheet of 40 attributes before 30 bowls; the guard limits the bytes


class SignInNeeded(Exception):
    """Nobody is signed in on this device."""


def get_bench(request: Request) -> Bench:
    """Return the surroundings of the use cases."""
    return cast(Bench, request.app.state.bench)


AtBench = Annotated[Bench, Depends(get_bench)]


async def read_form(request: Request) -> Mapping[str, str]:
    """Return the posted fields; a field sent twice keeps its last value.

    NUL characters are dropped: no database takes them.
    """
    async with request.form(max_files=0, max_fields=MOST_FIELDS) as form:
        fields = form.items()
        return {name: text.replace("\0", "") for name, text in fields if isinstance(text, str)}


Form = Annotated[Mapping[str, str], Depends(read_form)]


def get_signer(bench: Bench) -> URLSafeTimedSerializer:
    """Return what signs and reads the leader's cookie."""
    return URLSafeTimedSerializer(accounts.find_secret(bench), salt="leader")


def find_leader(request: Request, bench: AtBench) -> Account | None:
    """Return who is signed in on this device."""
    cookie = request.cookies.get(COOKIE)
    if not cookie:
        return None
    try:
        account_id, print_ = get_signer(bench).loads(cookie, max_age=SIGNED_IN_FOR)
        account = accounts.find_account(bench, UUID(account_id))
    except (BadSignature, ValueError, TypeError):
        return None
    return account if account and accounts.fingerprint(account) == print_ else None


def get_leader(account: Annotated[Account | None, Depends(find_leader)]) -> Account:
    """Return who is signed in, or ask to sign in."""
    if account is None:
        raise SignInNeeded
    return account


Leader = Annotated[Account, Depends(get_leader)]


def get_tasting(bench: AtBench, leader: Leader, tasting_id: UUID) -> Tasting:
    """Return a tasting, draft or not, that the leader leads."""
    tasting = tasting_list.find_led_row(bench, leader.id, tasting_id)
    if tasting is None:
        raise NotFound("There is no such tasting.")
    return tasting


def get_led(bench: AtBench, leader: Leader, tasting_id: UUID) -> LedTasting:
    """Return a sealed tasting that the leader leads."""
    led = progress.find_led(bench, leader.id, tasting_id)
    if led is None:
        raise NotFound("There is no such sealed tasting.")
    return led


Led = Annotated[LedTasting, Depends(get_led)]
LedRow = Annotated[Tasting, Depends(get_tasting)]
