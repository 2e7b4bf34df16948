"""The leader's screens."""

from fastapi import APIRouter

from server.pages.leader import (
    bench_log,
    benchmark,
    brewing,
    brews,
    chart,
    clock,
    decision,
    draft_bench,
    drafting,
    endings,
    finding,
    home,
    key,
    ladders,
    links,
    look,
    paper,
    paper_alone,
    paper_labels,
    paper_scores,
    paper_typed,
    photos,
    pieces,
    plan,
    planner,
    recipe_form,
    recipes,
    room,
    ruler,
    run_card,
    series_finding,
    series_plan,
    sheet_builder,
    sheets,
    soak,
    specimens,
    table,
    table_finding,
    table_plan,
)

router = APIRouter()
SCREENS = (
    home, plan, planner, table_plan, series_plan, clock, decision, drafting, look, table, room,
    links, brews, endings, key, finding, table_finding, series_finding, paper, paper_alone,
    paper_labels, paper_scores, photos, run_card, paper_typed, ruler, sheets,
    sheet_builder, ladders, soak, specimens, brewing, bench_log, pieces, chart, draft_bench,
    recipes, recipe_form, benchmark,
)  # fmt: skip
for screen in SCREENS:
    router.include_router(screen.router)
