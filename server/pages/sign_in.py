"""A leader signs in: by the one-time link that sets a password, then by password."""

import re
from collections.abc import Mapping
from dataclasses import dataclass, field

from fastapi import APIRouter, Request, Response

from server.pages.deps import COOKIE, SIGNED_IN_FOR, AtBench, Form, get_signer
from server.pages.rendering import go_to, show
from server.storage.tables import Account
from server.tastings import accounts
from server.tastings.bench import Bench
from server.tastings.refusals import Invalid, NotFound

router = APIRouter()
OWN_PATH = re.compile(r"/(?:[!-.0-\[\]-~][!-\[\]-~]*)?")  # no //, no backslash, no tab, ASCII


@dataclass(frozen=True)
class SignIn:
    """The sign-in form; ``form`` is what was typed, without the password."""

    next: str
    form: Mapping[str, str] = field(default_factory=dict)
    errors: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True)
class NewPassword:
    """The form behind a one-time link."""

    name: str
    token: str
    shortest: int
    errors: Mapping[str, str] = field(default_factory=dict)
    form: Mapping[str, str] = field(default_factory=dict)


@router.get("/sign-in")
def sign_in_form(request: Request, next: str = "/") -> Response:
    """Show the sign-in form."""
    return show(request, "sign_in/sign_in", SignIn(_own_path(next)))


@router.post("/sign-in")
def sign_in(request: Request, bench: AtBench, form: Form) -> Response:
    """Check name and password."""
    name, target = form.get("name", "").strip(), _own_path(form.get("next", "/"))
    account = accounts.check_password(bench, name, form.get("password", ""))
    if account is None:
        wrong = {"password": "Name and password do not fit together."}
        return show(request, "sign_in/sign_in", SignIn(target, {"name": name}, wrong), 422)
    return _with_cookie(go_to(request, target), bench, account)


@router.get("/sign-in/{token}")
def first_sign_in_form(request: Request, bench: AtBench, token: str) -> Response:
    """Show the form that sets a password."""
    account = accounts.find_link(bench, token)
    if account is None:
        raise NotFound("This sign-in link was used, or is too old. Ask for a new one.")
    view = NewPassword(account.name, token, accounts.MIN_PASSWORD)
    return show(request, "sign_in/new_password", view)


@router.post("/sign-in/{token}")
def first_sign_in(request: Request, bench: AtBench, token: str, form: Form) -> Response:
    """Set the password and sign in."""
    account = accounts.find_link(bench, token)
    if account is None:
        raise NotFound("This sign-in link was used, or is too old. Ask for a new one.")
    try:
        account = accounts.set_password(bench, token, form.get("password", ""))
    except Invalid as error:
        view = NewPassword(account.name, token, accounts.MIN_PASSWORD, error.messages)
        return show(request, "sign_in/new_password", view, 422)
    return _with_cookie(go_to(request, "/"), bench, account)


@router.post("/sign-out")
def sign_out(request: Request) -> Response:
    """Forget who is signed in on this device."""
    response = go_to(request, "/sign-in")
    response.set_cookie(COOKIE, "", max_age=0, path="/", httponly=True, samesite="lax")
    return response


def _own_path(target: str) -> str:
    """Return a path on this site, whatever was asked for."""
    return target if OWN_PATH.fullmatch(target) else "/"


def _with_cookie(response: Response, bench: Bench, account: Account) -> Response:
    value = get_signer(bench).dumps([str(account.id), accounts.fingerprint(account)])
    assert isinstance(value, str)
    response.set_cookie(
        COOKIE, value, max_age=SIGNED_IN_FOR, path="/", httponly=True, samesite="lax"
    )
    return response
