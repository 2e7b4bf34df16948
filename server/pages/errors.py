"""Friendly pages for whatever goes wrong: the right status, no traceback, no hint."""

from dataclasses import dataclass
from http import HTTPStatus
from urllib.parse import quote

from fastapi import FastAPI, Request, Response
from fastapi.exceptions import RequestValidationError
from starlette.exceptions import HTTPException

from server.pages.deps import SignInNeeded
from server.pages.rendering import go_to, is_fragment_wanted, show
from server.tastings.refusals import Refusal

WORDS = {
    404: ("Nothing here", "There is no such page, or its link is no longer good."),
    405: ("Not like this", "This page cannot be used in that way. Go back and try again."),
    422: ("Not understood", "What was sent cannot be read. Go back and try again."),
    500: ("Our mistake", "Something went wrong on the server. What was locked stays locked."),
}


@dataclass(frozen=True)
class ErrorPage:
    """What went wrong, in words for people."""

    title: str
    message: str


def add_error_pages(app: FastAPI) -> None:
    """Give every kind of failure its page."""
    app.add_exception_handler(SignInNeeded, _ask_to_sign_in)
    app.add_exception_handler(Refusal, _show_refusal)
    app.add_exception_handler(HTTPException, _show_http_error)
    app.add_exception_handler(RequestValidationError, _show_malformed)


def show_error(request: Request, status: int, title: str, message: str) -> Response:
    """Return an error page."""
    return show(request, "errors/error", ErrorPage(title, message), status)


def _ask_to_sign_in(request: Request, _: Exception) -> Response:
    is_page = request.method == "GET" and not is_fragment_wanted(request)
    wanted = request.url.path if is_page else "/"
    return go_to(request, f"/sign-in?next={quote(wanted)}")


def _show_refusal(request: Request, error: Exception) -> Response:
    assert isinstance(error, Refusal)
    title = WORDS[404][0] if error.status == 404 else "That did not work"
    return show_error(request, error.status, title, str(error))


def _show_http_error(request: Request, error: Exception) -> Response:
    assert isinstance(error, HTTPException)
    fallback = (HTTPStatus(error.status_code).phrase, "Go back and try again.")
    return show_error(request, error.status_code, *WORDS.get(error.status_code, fallback))


def _show_malformed(request: Request, error: Exception) -> Response:
    assert isinstance(error, RequestValidationError)
    in_path = any(one["loc"][0] == "path" for one in error.errors())
    status = 404 if in_path else 422
    return show_error(request, status, *WORDS[status])


def show_failure(request: Request) -> Response:
    """Return the page for a fault of the server's own."""
    return show_error(request, 500, *WORDS[500])
