"""The leader's screens."""

from fastapi import APIRouter

from server.pages.leader import brews, endings, finding, home, key, links, plan, table

router = APIRouter()
for screen in (home, plan, table, links, brews, endings, key, finding):
    router.include_router(screen.router)
