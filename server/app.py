"""Build the application from its settings."""

from fastapi import FastAPI
from starlette.responses import Response
from starlette.staticfiles import StaticFiles
from starlette.types import Scope

from server.pages import (
    alone,
    assessor,
    feedback,
    help,
    joining,
    leader,
    paper_sheet,
    pourer,
    pourer_brew,
    pourer_paper,
    scoring,
    sign_in,
)
from server.pages.assets import STATIC
from server.pages.errors import add_error_pages, show_failure
from server.pages.guard import Guard
from server.settings import Settings
from server.storage.engine import open_engine
from server.storage.migrate import upgrade
from server.tastings.bench import Bench


class KeptFiles(StaticFiles):
    """Static files; one asked for by the hash of its content may be kept for ever."""

    async def get_response(self, path: str, scope: Scope) -> Response:
        """Return a file."""
        response = await super().get_response(path, scope)
        kept = "public, max-age=31536000, immutable" if scope["query_string"] else "no-cache"
        response.headers.setdefault("Cache-Control", kept)
        return response


def create_app(settings: Settings, bench: Bench | None = None) -> FastAPI:
    """Return the application; the database is brought up to date first."""
    if bench is None:
        bench = Bench(open_engine(settings.database_url))
        upgrade(bench.engine)
    app = FastAPI(title="Oddcup", docs_url=None, redoc_url=None, openapi_url=None)
    app.state.bench = bench
    app.state.base_url = settings.base_url
    app.add_middleware(Guard, show_failure=show_failure, base_url=settings.base_url)
    add_error_pages(app)
    app.mount("/static", KeptFiles(directory=STATIC), name="static")
    for module in (
        sign_in,
        leader,
        joining,
        assessor,
        scoring,
        paper_sheet,
        feedback,
        alone,
        pourer,
        pourer_brew,
        pourer_paper,
        help,
    ):
        app.include_router(module.router)
    return app
