"""The leader's screens."""

from fastapi import APIRouter

from server.pages.leader import (
    brews,
    drafting,
    endings,
    finding,
    home,
    key,
    links,
    look,
    paper,
    paper_alone,
    photos,
    plan,
    room,
    run_card,
    table,
)

router = APIRouter()
SCREENS = (
    home, plan, drafting, look, table, room, links, brews, endings, key, finding, paper,
    paper_alone, photos, run_card,
)  # fmt: skip
for screen in SCREENS:
    router.include_router(screen.router)
