"""Templates in, responses out; the one module that knows the HX headers."""

from functools import cache
from typing import Any

from fastapi import Request, Response
from fastapi.responses import HTMLResponse, RedirectResponse
from jinja2 import Environment, FileSystemLoader, StrictUndefined

from server.blinding.seal import short, spaced
from server.brewing.cautions import LOCAL_CODES, find_cautions
from server.pages.assets import TEMPLATES, asset_url
from server.pages.languages import choose_language, load_translations
from server.reports.display import show_apart, show_reading


@cache
def get_environment(language: str) -> Environment:
    """Return the template environment of a language."""
    environment = Environment(
        loader=FileSystemLoader(TEMPLATES),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        extensions=["jinja2.ext.i18n"],
    )
    environment.install_gettext_translations(  # type: ignore[attr-defined] # the i18n extension
        load_translations(language), newstyle=True
    )
    environment.globals |= {"asset": asset_url, "language": language}
    environment.globals |= {"cautions_at": find_cautions, "local_codes": LOCAL_CODES}
    environment.filters |= {"short": short, "spaced": spaced}
    environment.filters |= {"apart": show_apart, "reading": show_reading}
    return environment


def is_fragment_wanted(request: Request) -> bool:
    """Tell whether a script asks for a part of the page, to put it in place."""
    return "HX-Request" in request.headers


def show(request: Request, screen: str, view: Any, status: int = 200) -> HTMLResponse:
    """Return the page of a screen, or its fragment alone if that is wanted.

    The screen ``pourer/round`` has the page ``pourer/round.html``, which includes
    the fragment ``pourer/_round.html``.
    """
    if is_fragment_wanted(request):
        return show_fragment(request, screen, view, status)
    return _render(request, f"{screen}.html", view, status)


def show_fragment(request: Request, screen: str, view: Any, status: int = 200) -> HTMLResponse:
    """Return the fragment of a screen, whoever asks."""
    folder, _, name = screen.rpartition("/")
    return _render(request, f"{folder}/_{name}.html", view, status)


def go_to(request: Request, url: str) -> Response:
    """Send the browser to another page, after a form or after a script's request."""
    if is_fragment_wanted(request):
        return Response(status_code=204, headers={"HX-Redirect": url})
    return RedirectResponse(url, status_code=303)


def _render(request: Request, template: str, view: Any, status: int) -> HTMLResponse:
    language = choose_language(request.headers.get("Accept-Language", ""))
    page = get_environment(language).get_template(template).render(view=view)
    headers = {"Vary": "HX-Request, Accept-Language, Cookie", "Cache-Control": "no-store"}
    return HTMLResponse(page, status, headers)
