"""Every page on a tablet, light and dark, and on a phone: barriers, small targets, faults."""

from dataclasses import dataclass, field
from typing import Any
from urllib.parse import urlencode

import pytest
from fastapi.routing import iter_route_contexts
from sqlalchemy import create_engine
from starlette.routing import compile_path

from server.app import create_app
from server.settings import Settings
from server.sheets.starters import get_starter
from server.storage.engine import open_engine, sqlite_url
from server.tastings import specimens
from server.tastings.accounts import set_password
from server.tastings.bench import Bench
from server.tastings.importing import get_leader_id
from server.tastings.laddering import start_ladder
from server.tastings.planning import read_plan
from server.tastings.recipe_starters import STARTERS
from server.tastings.recipes_kept import keep_recipe
from server.tastings.soaking import draft_soak, read_soak
from tests import benchmarked
from tests.browser import stage, stage_alone, stage_brews, stage_gate, stage_tables
from tests.browser.barriers import SMALL, WIDE, find_barriers
from tests.series_forms import draft_series

TABLET, PHONE = {"width": 820, "height": 1180}, {"width": 390, "height": 844}
PASSWORD = "six warm cups of tea"
NO_PAGE = (".svg", ".jpg", ".json", ".csv", "/progress")  # pictures, files, a part of a page
REFUSED = "Failed to load resource: the server responded with a status of 4"
OPEN_ALL = "document.querySelectorAll('details').forEach(one => { one.open = true })"
pytestmark = pytest.mark.timeout(400)  # a minute on an idle machine


SOAKED = {
    "part": "spring clip", "parts": "1", "part_g": "12", "rating_c": "95", "food_contact": "no",
    "state": "first", "water": "spring water", "water_g": "600", "soak_c": "92", "soak_min": "4",
    "exposure": "real",
}  # fmt: skip


@dataclass(frozen=True)
class Visit:
    """A page to open; ``press`` sends its form, mostly to see what is wrong with it."""

    path: str
    press: str = ""
    strength: str = ""  # typed first, where there is a field for it
    status: int = 200
    taken: bool = False  # whether the form that is sent is not refused


@dataclass
class Seen:
    """What is wrong with each page, by the page's name."""

    barriers: dict[str, list[str]] = field(default_factory=dict)
    small: dict[str, list[str]] = field(default_factory=dict)
    wide: dict[str, list[str]] = field(default_factory=dict)
    faults: dict[str, list[str]] = field(default_factory=dict)
    paths: set[str] = field(default_factory=set)


@pytest.fixture(scope="module")
def seen(fresh_shop: Any, kept_device: Any) -> Seen:
    """Look at every page once."""
    seen = Seen()
    kept_device.page.emulate_media(reduced_motion="reduce")  # no colour half-way to another
    bench = Bench(open_engine(sqlite_url(fresh_shop.data)))
    token = fresh_shop.link.rsplit("/", 1)[1]
    for name, visit in list_doors(token).items():
        look(kept_device, fresh_shop.url, seen, name, visit)
    sign_in(bench, kept_device.page, fresh_shop.url, token)
    for name, visit in list_pages(bench).items():
        look(kept_device, fresh_shop.url, seen, name, visit)
    bench.engine.dispose()
    return seen


def sign_in(bench: Bench, page: Any, home: str, token: str) -> None:
    """Set the leader's password and sign in with it."""
    set_password(bench, token, PASSWORD)
    page.goto(f"{home}/sign-in")
    page.fill("#password", PASSWORD)
    page.get_by_role("button", name="Sign in").click()
    page.locator("#home").wait_for()


def list_doors(token: str) -> dict[str, Visit]:
    """List the pages of somebody who has not signed in."""
    return {
        "sign in": Visit("/sign-in"),
        "sign in, refused": Visit("/sign-in", "Sign in"),
        "new password": Visit(f"/sign-in/{token}"),
        "new password, refused": Visit(f"/sign-in/{token}", "Set it and go on"),
        "join": Visit("/join"),
        "join, refused": Visit("/join", "Show the seats"),
        "help": Visit("/help"),
        "no such page": Visit("/nowhere", status=404),
        "no such seat": Visit("/seat/nobody", status=404),
        "no such pourer": Visit("/pour/nobody", status=404),
    }


def list_pages(bench: Bench) -> dict[str, Visit]:
    """List the pages of tastings in every state."""
    served, ended = stage.serve_one(bench), stage.end_one(bench, unsealed=True)
    closed, given_up = stage.end_one(bench, unsealed=False), stage.abandon_one(bench)
    return {
        "home": Visit("/"),
        "ruler": Visit("/ruler"),
        **list_drafts(bench),
        **list_leading(f"/tastings/{served.id}"),
        "fresh": Visit(f"/tastings/{stage.seal_one(bench).id}"),
        "closed": Visit(f"/tastings/{closed.id}"),
        "given up": Visit(f"/tastings/{given_up.id}"),
        "unsealed": Visit(f"/tastings/{ended.id}"),
        "bench chart": Visit("/bench/chart"),
        "chart": Visit(f"/tastings/{ended.id}/chart"),
        "unsealed brews": Visit(f"/tastings/{ended.id}/brews"),
        "unsealed key": Visit(f"/tastings/{ended.id}/key"),
        "finding": Visit(f"/tastings/{ended.id}/finding"),
        "plan again": Visit(f"/tastings/{ended.id}/again"),
        "seats": Visit(f"/join/{served.code}"),
        "seats, refused": Visit(f"/join/{served.code}", "Take this seat"),
        "seats closed": Visit(f"/join/{closed.code}", status=410),
        **list_pouring(served),
        "pour closed": Visit(f"/pour/{closed.pourer}"),
        **list_steps(served),
        **list_own_steps(bench),
        **list_alone(bench),
        **list_sheets(bench),
        **list_pieces(bench),
        **list_recipes(bench),
        **list_benchmark(bench),
        **list_brews(bench),
        **list_soaks(bench),
        **list_table_leading(bench),
        **list_table_findings(bench),
        **list_series(bench),
        **list_findings(bench),
        "over, unsent": Visit(f"/seat/{closed.tokens[0]}"),
        "over, unsealed": Visit(f"/seat/{ended.tokens[0]}"),
        "over, given up": Visit(f"/seat/{given_up.tokens[0]}"),
    }


def list_soaks(bench: Bench) -> dict[str, Visit]:
    """List the pages of a soak, and of a ladder of soaks."""
    account = get_leader_id(bench)
    soaked = draft_soak(bench, account, read_soak(SOAKED))
    first = {"title": "Is there a smell, and until when?", "kind": "dose", "parts": "0"}
    ladder = f"/ladders/{start_ladder(bench, account, first | {'tasting': str(soaked)})}"
    return {
        "soak": Visit("/soak"),
        "soak, refused": Visit("/soak", "Show the steps"),
        "soak, step by step": Visit(f"/soak?{urlencode(SOAKED)}", "Show the steps", taken=True),
        "soak, to print": Visit(f"/soak/sheet?{urlencode(SOAKED)}"),
        "soak, planned": Visit(f"/tastings/{soaked}"),
        "soak of a tasting": Visit(f"/tastings/{soaked}/paper/soak"),
        "ladders": Visit("/ladders"),
        "ladders, refused": Visit("/ladders", "Begin the ladder"),
        "ladder": Visit(ladder),
        "ladder, refused": Visit(ladder, "Draft this step"),
    }


def list_alone(bench: Bench) -> dict[str, Visit]:
    """List the leader's pages of tastings alone."""
    turned, closed = stage_alone.turn_alone(bench), stage_alone.close_alone(bench)
    home, over = f"/tastings/{turned.made.id}", f"/tastings/{closed.made.id}"
    found = f"/tastings/{stage_alone.unseal_alone(bench).made.id}"
    return {
        "alone": Visit(home),
        "alone, closing refused": Visit(home, "Close the tasting"),
        "alone, links": Visit(f"{home}/links"),
        "alone, key": Visit(f"{home}/key"),
        "alone, print": Visit(f"{home}/paper"),
        "alone, sheets": Visit(f"{home}/paper/alone"),
        "alone, own seat": Visit(f"{home}/seat"),
        "alone, marks again": Visit(f"/seat/{turned.token}/marks/1"),
        "alone, closed": Visit(over),
        "alone, unsealing refused": Visit(over, "Unseal"),
        "alone, finding": Visit(f"{found}/finding"),
        "alone, unsealed key": Visit(f"{found}/key"),
    }


def list_sheets(bench: Bench) -> dict[str, Visit]:
    """List the pages on which score sheets are built."""
    base = f"/sheets/{stage_tables.keep_sheet(bench)}"
    first = get_starter("morning-table").sheet.attributes[0].name
    return {
        "sheets": Visit("/sheets"),
        "sheets, file refused": Visit("/sheets", "Bring it in"),
        "sheet": Visit(base),
        "attribute": Visit(f"{base}/attributes/{first}"),
        "attribute, new": Visit(f"{base}/add?kind=defect"),
        "attribute, refused": Visit(f"{base}/add?kind=line", "Keep"),
    }


def list_pieces(bench: Bench) -> dict[str, Visit]:
    """List the pages about pieces of the part under test."""
    form = {"label": "sieve 1", "part": "steel sieve", "state": "new"}
    piece = specimens.add_specimen(bench, get_leader_id(bench), form)
    singles = stage.seal_one(bench, pots="each", cup_ml="30", relief="spit")
    return {
        "pieces": Visit("/specimens"),
        "pieces, refused": Visit("/specimens", "Write it down"),
        "piece": Visit(f"/specimens/{piece}"),
        "pour single cups": Visit(f"/pour/{singles.pourer}"),
        "fill list of single cups": Visit(f"/pour/{singles.pourer}/paper/fill"),
    }


def list_recipes(bench: Bench) -> dict[str, Visit]:
    """List the pages of recipes."""
    home = f"/recipes/{keep_recipe(bench, get_leader_id(bench), STARTERS['bowl'])}"
    return {
        "recipes": Visit("/recipes"),
        "recipes, card refused": Visit("/recipes", "Bring it in"),
        "recipe": Visit(home),
        "recipe, new": Visit("/recipes/new"),
        "recipe, refused": Visit("/recipes/new", "Keep it"),
        "recipe, changed": Visit(f"{home}/change"),
        "recipe, printed": Visit(f"{home}/paper"),
    }


def list_benchmark(bench: Bench) -> dict[str, Visit]:
    """List the page of recipes beside the house reference, one of them brewed and tasted."""
    leader = get_leader_id(bench)
    benchmarked.keep_both(bench, leader)
    benchmarked.brew(bench, leader, benchmarked.CONE, ["1.40", "1.42"])
    played = benchmarked.draw_both(bench, leader, read_plan(stage.PLAN))
    played.fill(10)
    played.unseal()
    return {"recipes beside the house reference": Visit("/benchmark")}


def list_brews(bench: Bench) -> dict[str, Visit]:
    """List the sheets of brews, on the bench and for a sealed slot."""
    brews = stage_brews.brew_some(bench)
    return {
        "bench": Visit("/bench"),
        "brew, not begun": Visit(f"/brews/{brews.fresh}"),
        "brew, going on": Visit(f"/brews/{brews.running}"),
        "brew, kept": Visit(f"/brews/{brews.kept}"),
        "brew of a slot": Visit(f"/pour/{brews.pourer}/brew/A1"),
        "brew of a slot, going on": Visit(f"/pour/{brews.pourer}/brew/B1"),
    }


def list_table_leading(bench: Bench) -> dict[str, Visit]:
    """List the leader's and the pourer's pages of scored tables."""
    poured, pourer = stage_tables.pour_one(bench)
    draft, home = stage_tables.draft_one(bench), f"/tastings/{poured}"
    blank, paper = stage_tables.find_paper(bench)
    return {
        "paper sheets": Visit(f"/tastings/{blank}/paper/typed"),
        "paper sheet": Visit(paper),
        "paper sheet, looked over": Visit(f"{paper}/check"),
        "paper sheet, lock refused": Visit(f"{paper}/check", "Lock this table"),
        "table plan": Visit("/tastings/new/table"),
        "table plan of a method": Visit("/tastings/new/table?preset=ranking"),
        "table plan, refused": Visit("/tastings/new/table", "Keep this plan"),
        "table draft": Visit(f"/tastings/{draft}"),
        "table plan of a draft": Visit(f"/tastings/{draft}/plan/table"),
        "scored table": Visit(home),
        "bowl clock": Visit(f"{home}/clock"),
        "bowl clock, refused": Visit(f"{home}/clock", "Note it"),
        "pour a table": Visit(f"/pour/{pourer}"),
        "bowl clock of whoever pours": Visit(f"/pour/{pourer}/clock"),
        "table, print": Visit(f"{home}/paper"),
        "score sheets": Visit(f"{home}/paper/scores?seat=1"),
        "code labels": Visit(f"{home}/paper/labels"),
        "talk refused": Visit(f"/tastings/{stage_tables.close_one(bench)}", "Keep these words"),
        "decision refused": Visit(
            f"/tastings/{stage_tables.close_one(bench, unsealed=True)}", "Record it"
        ),
    }


def list_table_findings(bench: Bench) -> dict[str, Visit]:
    """List the pages that say what came of a scored table."""
    told, seat = stage_tables.tell_one(bench)
    return {
        "table, finding": Visit(f"/tastings/{told}/finding"),
        "table, report": Visit(f"/tastings/{told}/report"),
        "own scores": Visit(f"/seat/{seat}/feedback"),
    }


def list_series(bench: Bench) -> dict[str, Visit]:
    """List the pages on which a rising series is planned."""
    draft = draft_series(bench, get_leader_id(bench))
    return {
        "series plan": Visit("/tastings/new/series"),
        "series plan, refused": Visit("/tastings/new/series", "Keep this plan"),
        "series draft": Visit(f"/tastings/{draft}"),
        "series plan of a draft": Visit(f"/tastings/{draft}/plan/series"),
    }


def list_findings(bench: Bench) -> dict[str, Visit]:
    """List a finding of every family of methods and plans."""
    return {
        f"finding of {name}": Visit(f"/tastings/{stage.import_sample(bench, name)}/finding")
        for name in ("hard-tap", "two-cold-teas", "iron-pot", "slate-lid", "rinse-water-guests")
    }


def list_drafts(bench: Bench) -> dict[str, Visit]:
    """List the pages before a seal."""
    draft, looked_at = stage.draft_one(bench), stage.look_one(bench)
    return {
        "planner": Visit("/tastings/new/planner"),
        "plan": Visit("/tastings/new"),
        "plan, refused": Visit("/tastings/new", "Keep this plan"),
        "draft": Visit(f"/tastings/{draft}"),
        "plan of a draft": Visit(f"/tastings/{draft}/plan"),
        **list_gates(bench),
        "look": Visit(f"/tastings/{draft}/look"),
        "look, drawn": Visit(f"/tastings/{looked_at}/look"),
        "look, refused": Visit(f"/tastings/{looked_at}/look", "Count it"),
    }


def list_gates(bench: Bench) -> dict[str, Visit]:
    """List the pages of brews that are not matched, before a seal and before they go out."""
    tried, held = f"/tastings/{stage_gate.try_one(bench)}", stage_gate.hold_one(bench)
    return {
        "bench of a draft": Visit(f"{tried}/bench"),
        "seal, refused": Visit(tried, "Seal this plan"),
        "release, refused": Visit(f"/pour/{held.pourer}", "Release brew A1"),
        "brews to release": Visit(f"/tastings/{held.id}/brews"),
    }


def list_leading(home: str) -> dict[str, Visit]:
    """List the leader's pages of a running tasting."""
    return {
        "table": Visit(home),
        "close, refused": Visit(home, "Close the tasting"),
        "void, refused": Visit(home, "Void this serving"),
        "links": Visit(f"{home}/links"),
        "links, refused": Visit(f"{home}/links", "Make the link"),
        "brews": Visit(f"{home}/brews"),
        "brews, refused": Visit(f"{home}/brews", "Note it", "strong"),
        "key": Visit(f"{home}/key"),
        "key, refused": Visit(f"{home}/key", "Record the look"),
        "print": Visit(f"{home}/paper"),
        "print, refused": Visit(f"{home}/paper", "Show the run card"),
        "mats": Visit(f"{home}/paper/mats?round=1"),
        "seat cards": Visit(f"{home}/paper/seats"),
        "seal card": Visit(f"{home}/paper/seal"),
        "run card": Visit(f"{home}/paper/run?start=09:30"),
    }


def list_pouring(table: stage.Table) -> dict[str, Visit]:
    """List the pages of whoever pours."""
    home = f"/pour/{table.pourer}"
    return {
        "pour": Visit(home),
        "pour, brew refused": Visit(home, "Note it", "strong"),
        "pour round 2": Visit(f"{home}?round=2"),
        "fill list": Visit(f"{home}/paper/fill"),
        "tray list": Visit(f"{home}/paper/trays"),
    }


def list_steps(table: stage.Table) -> dict[str, Visit]:
    """List every step of a seat, each at a seat of its own."""
    steps = ("instructions", "codes", "called", "ballot", "review", "done")
    seats = {
        step: Visit(f"/seat/{token}") for step, token in zip(steps, table.tokens, strict=False)
    }
    return seats | {"ballot, refused": Visit(seats["ballot"].path, "Go on")}


def list_own_steps(bench: Bench) -> dict[str, Visit]:
    """List every step of a seat alone, each at a tasting of its own."""
    tables = {step: stage.seat_one(bench, step) for step in stage.STEPS_ALONE}
    seats = {f"alone, {step}": f"/seat/{one.tokens[0]}" for step, one in tables.items()}
    pair = stage.seat_one(bench, "ballot", method="2-afc", attribute="bitterness", more="B")
    return {
        **{name: Visit(path) for name, path in seats.items()},
        "alone, ballot refused": Visit(seats["alone, ballot"], "Go on"),
        "alone, giving up refused": Visit(seats["alone, next"], "Give these cups up"),
        "alone, marks refused": Visit(seats["alone, marks"], "Look it over"),
        "alone, begin again": Visit(f"{seats['alone, pause']}?sitting=2"),
        "alone, look marks over": Visit(
            f"{seats['alone, pause']}/marks/1", "Look it over", taken=True
        ),
        "alone, pair": Visit(f"/seat/{pair.tokens[0]}"),
    }


def look(device: Any, home: str, seen: Seen, name: str, visit: Visit) -> None:
    """Open a page on the tablet, look at it in light and dark, then on the phone."""
    page = device.page
    seen.paths.add(visit.path.partition("?")[0])
    answer = page.goto(home + visit.path)
    assert answer.status == visit.status, (name, answer.status)
    page.evaluate(OPEN_ALL)
    if visit.strength:
        page.fill("#tds", visit.strength)
    if visit.press:
        press(page, visit.press, taken=visit.taken)
    device.shoot(name.replace(", ", "-").replace(" ", "-"))
    keep(seen.barriers, name, find_barriers(page))
    keep(seen.small, f"{name} on a tablet", page.evaluate(SMALL))
    page.set_viewport_size(PHONE)
    keep(seen.small, f"{name} on a phone", page.evaluate(SMALL))
    keep(seen.wide, name, page.evaluate(WIDE))
    page.set_viewport_size(TABLET)
    keep(seen.faults, name, [one for one in device.faults if REFUSED not in one])
    device.faults.clear()


def press(page: Any, name: str, *, taken: bool) -> None:
    """Send a form as it stands; mostly it is refused."""

    def is_sent(answer: Any) -> bool:
        return bool(answer.request.method == "POST" or answer.request.is_navigation_request())

    with page.expect_response(is_sent) as waiting:
        page.get_by_role("button", name=name).first.click()
    assert (waiting.value.status < 400) == taken, (name, waiting.value.status)
    assert waiting.value.status < 500, (name, waiting.value.status)
    page.wait_for_load_state("load")
    page.evaluate(OPEN_ALL)


def list_unseen(paths: set[str]) -> list[str]:
    """List the routes to whole pages that none of the paths leads to."""
    bench = Bench(create_engine("sqlite://"))
    app = create_app(Settings(database_url="none: nothing is asked"), bench)
    routes = {
        str(one.path) for one in iter_route_contexts(app.routes) if "GET" in (one.methods or ())
    }
    patterns = {route: compile_path(route)[0] for route in routes if not route.endswith(NO_PAGE)}
    return [
        route
        for route, pattern in patterns.items()
        if not any(pattern.fullmatch(path) for path in paths)
    ]


def keep(found: dict[str, list[str]], name: str, problems: list[str]) -> None:
    """Remember the problems of a page that has some."""
    if problems:
        found[name] = problems


def test_no_page_has_a_grave_barrier_in_light_or_dark(seen: Seen) -> None:
    assert seen.barriers == {}


def test_every_target_is_as_high_as_a_finger_is_wide(seen: Seen) -> None:
    assert seen.small == {}


def test_no_page_scrolls_sideways_on_a_phone(seen: Seen) -> None:
    assert seen.wide == {}


def test_no_page_complains_in_the_console(seen: Seen) -> None:
    assert seen.faults == {}


def test_every_page_that_there_is_was_looked_at(seen: Seen) -> None:
    assert list_unseen(seen.paths) == []
