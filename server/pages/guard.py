"""What every request passes: origin, size, headers, and a log line without tokens."""

import logging
import re
import time
import traceback
from collections.abc import Callable, MutableMapping
from typing import Any
from urllib.parse import urlsplit

from starlette.datastructures import Headers, MutableHeaders
from starlette.requests import ClientDisconnect, Request
from starlette.responses import PlainTextResponse, Response
from starlette.types import ASGIApp, Receive, Scope, Send

LARGEST_BODY = 256 * 1024
LARGEST_WITH_PHOTO = 11 * 1024 * 1024
TAKES_A_PHOTO = re.compile(r"/seat/[^/]+/marks/[^/]+")
LONGEST_LENGTH = 12  # digits; more are no honest number
GONE = 499  # in the log alone: whoever asked has left
log = logging.getLogger("oddcup.requests")
Failure = Callable[[Request], Response]

HEADERS = {
    "Content-Security-Policy": "default-src 'none'; script-src 'self'; style-src 'self'; "
    "img-src 'self' data:; connect-src 'self'; font-src 'self'; manifest-src 'self'; "
    "form-action 'self'; base-uri 'none'; frame-ancestors 'none'",
    "Referrer-Policy": "same-origin",
    "X-Content-Type-Options": "nosniff",
    "Permissions-Policy": "camera=(), microphone=(), geolocation=()",
}


class Guard:
    """ASGI middleware around the whole application."""

    def __init__(self, app: ASGIApp, show_failure: Failure, base_url: str | None = None) -> None:
        self._app, self._show_failure = app, show_failure
        self._own_host = urlsplit(base_url).netloc if base_url else None

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer a request."""
        if scope["type"] != "http":
            await self._app(scope, receive, send)
            return
        started = time.perf_counter()
        seen: dict[str, int | None] = {"status": None}
        guarded = _with_headers(send, seen)
        refusal = self._find_fault(scope)
        try:
            if refusal:
                await PlainTextResponse(refusal[1], refusal[0])(scope, receive, guarded)
            else:
                await self._app(scope, receive, guarded)
        except ClientDisconnect:  # it went to another page before it had sent all: no fault of ours
            seen["status"] = seen["status"] or GONE
        except Exception:
            fault = _hide_tokens(traceback.format_exc(), scope)
            log.error("failed: %s %s\n%s", scope["method"], _route(scope), fault)
            if seen["status"] is None:
                await self._show_failure(Request(scope))(scope, receive, guarded)
        finally:
            took = 1000 * (time.perf_counter() - started)
            log.info("%s %s %s %.0f ms", scope["method"], _route(scope), seen["status"], took)

    def _find_fault(self, scope: Scope) -> tuple[int, str] | None:
        if "\0" in scope["path"]:  # no database can look for it
            return 404, "There is nothing here."
        if scope["method"] in ("GET", "HEAD", "OPTIONS"):
            return None
        headers = Headers(scope=scope)
        source = headers.get("origin") or headers.get("referer") or ""
        if _find_host(source) not in {headers.get("host", ""), self._own_host} - {""}:
            return 403, "This form was not sent from this site. Open the page again."
        length = headers.get("content-length", "")
        if not length.isdecimal():
            return 411, "The request does not say how long it is."
        if len(length) > LONGEST_LENGTH or int(length) > _find_largest(scope["path"]):
            return 413, "That is too much to send at once. Go back, and send less."
        return None


def _find_largest(path: str) -> int:
    return LARGEST_WITH_PHOTO if TAKES_A_PHOTO.fullmatch(path) else LARGEST_BODY


def _find_host(source: str) -> str:
    try:
        return urlsplit(source).netloc
    except ValueError:  # no address at all
        return ""


def _with_headers(send: Send, seen: dict[str, int | None]) -> Callable[..., Any]:
    async def sender(message: MutableMapping[str, Any]) -> None:
        if message["type"] == "http.response.start":
            seen["status"] = message["status"]
            headers = MutableHeaders(scope=message)
            for name, value in HEADERS.items():
                headers.setdefault(name, value)
        await send(message)

    return sender


def _route(scope: Scope) -> str:
    """Return the route's template: a path would carry the token of a seat."""
    return getattr(scope.get("route"), "path", "(no route)")


def _hide_tokens(text: str, scope: Scope) -> str:
    """Blot out what stands in the path: an error may quote it."""
    for value in scope.get("path_params", {}).values():
        text = text.replace(str(value), "…")
    return text
