"""The sheet of a brew: the stored moments decide, whoever looks and whenever."""

import re
from uuid import UUID

import pytest

from server.storage import queries
from server.tastings import brew_sheets
from server.tastings.brew_keeping import keep_brew
from server.tastings.handing_out import add_pourer
from server.tastings.progress import find_led
from tests.brewing_bench import begin, draft_with_recipe, make_recipe, seal_with_recipe

NINE = 1936515600000  # the stopped clock, in milliseconds since 1970


@pytest.fixture
def brew_id(bench, account):
    return begin(bench, account.id)


@pytest.fixture
def sheet(brew_id):
    return f"/brews/{brew_id}"


@pytest.fixture
def find(bench, account, brew_id):
    return lambda: brew_sheets.get_brew(bench, account.id, brew_id).brewed


@pytest.fixture
def tap(leader, sheet, clock):
    """Tap after so many seconds more."""

    def tap_one(tap="", after=0.0, **form):
        clock.advance(seconds=after)
        answer = leader.post(f"{sheet}/tap", {"tap": tap} | form)
        assert answer.status_code == 303, answer.text
        return answer

    return tap_one


@pytest.fixture
def slots(bench, account, plan_input):
    """A sealed tasting with a recipe, and the address of its pourer's link."""
    tasting_id, token = seal_with_recipe(bench, account.id, plan_input())
    return tasting_id, f"/pour/{token}"


def read_steps(page):
    """What the table says was done, step by step."""
    return re.findall(r'brew-done">([^<]*)<', page)


def test_a_brew_is_begun_from_a_trial_of_a_draft(leader, bench, account, plan_input):
    draft = draft_with_recipe(bench, account.id, plan_input())
    answer = leader.post("/brews", {"tasting_id": str(draft), "level": "A"})
    (brew,) = brew_sheets.list_brews(bench, account.id, draft)
    assert (answer.status_code, answer.headers["location"]) == (303, f"/brews/{brew.id}")
    assert "Trial brew of A" in leader.get(f"/brews/{brew.id}").text


@pytest.mark.parametrize("form", [{"recipe_id": "x"}, {"recipe_id": str(UUID(int=7))}])
def test_a_brew_of_no_recipe_is_not_begun(leader, form):
    assert leader.post("/brews", form).status_code == 404


def test_the_sheet_shows_the_recipe_and_every_step(leader, sheet):
    page = leader.get(sheet).text
    for words in ("20 g to 320 g of water at 93 °C", "Pour to 320 g, in circles", "3:00"):
        assert words in page
    assert "Water on" in page


def test_the_first_water_stores_the_moment_of_the_server(tap, find):
    tap("start")
    assert find().started == "2031-05-14T09:00:00.000+00:00"


def test_the_page_carries_both_moments_for_a_device_whose_clock_is_wrong(leader, sheet, tap, clock):
    tap("start")
    clock.advance(seconds=75)
    page = leader.get(sheet).text
    assert f'data-started="{NINE}"' in page
    assert f'data-now="{NINE + 75_000}"' in page
    assert re.search(r'role="timer"[^>]*>1:15<', page)


def test_without_a_script_every_step_has_its_clock_time(leader, sheet, tap):
    tap("start")
    page = leader.get(sheet).text
    assert "09:00:40" in page
    assert re.search(r'id="next-due">at 0:10, 09:00:10<', page)
    assert re.search(r'id="now-words">Pour to 60 g<', page)


def test_taps_note_the_seconds_since_the_first_water(leader, sheet, tap):
    for name, after in (("start", 0), ("1", 12), ("2", 26.9), ("3", 140)):
        tap(name, after)
    page = leader.get(sheet).text
    assert read_steps(page) == ["0:00", "0:12", "0:38", "2:58"]
    for apart in ("+0:02", "−0:02"):
        assert f">{apart}</span>" in page


def test_a_repeated_tap_changes_nothing(tap, find):
    tap("start")
    tap("1", 12)
    first = find()
    tap("1", 5)
    tap("start", 5)
    assert find() == first


def test_a_tap_that_waited_on_its_device_counts_from_when_it_was_made(tap, find):
    tap("start", 30, ago="30.0")
    tap("1", 60, ago="48.5")
    assert (find().started, find().steps[1].at_s) == ("2031-05-14T09:00:00.000+00:00", 41)


@pytest.mark.parametrize("ago", ["", "-5", "soon", "1e9", "999999"])
def test_a_wait_that_cannot_be_is_none(tap, find, ago):
    tap("start", ago=ago)
    assert find().started == "2031-05-14T09:00:00.000+00:00"


def test_a_step_before_the_first_water_is_refused(leader, sheet, find):
    answer = leader.post(f"{sheet}/tap", {"tap": "1"})
    assert (answer.status_code, find().steps) == (409, ())
    assert "tap “Water on” first" in answer.text


@pytest.mark.parametrize("name", ["", "4", "99", "x", "²", "-1"])
def test_a_step_that_there_is_not_is_not_found(leader, sheet, tap, name):
    tap("start")
    assert leader.post(f"{sheet}/tap", {"tap": name}).status_code == 404


def test_the_last_tap_is_taken_back_once(leader, sheet, tap):
    tap("start")
    tap("1", 12)
    for _ in range(2):
        tap("undo", last="1")
    assert read_steps(leader.get(sheet).text) == ["0:00", "", "", ""]


def test_shots_are_counted_tap_by_tap(leader, bench, account):
    recipe = make_recipe(single=True, shots=2)
    sheet = f"/brews/{begin(bench, account.id, recipe=recipe)}"
    assert "this sheet is one cup" in leader.get(sheet).text
    for _ in range(2):
        leader.post(f"{sheet}/tap", {"shots": "2"})
    assert 'id="shots">2<' in leader.get(sheet).text


def test_a_script_gets_the_clock_and_the_steps_alone(leader, sheet):
    answer = leader.post(f"{sheet}/tap", {"tap": "start"}, script=True)
    assert '<section id="timer"' in answer.text
    assert "<h1" not in answer.text


def test_a_kept_brew_takes_no_taps(leader, bench, account, sheet, brew_id, tap, find):
    tap("start")
    keep_brew(bench, account.id, brew_id)
    answer = leader.post(f"{sheet}/tap", {"tap": "1"}, script=True)
    assert (answer.status_code, len(find().steps)) == (409, 1)
    assert "Doing it now" not in answer.text


def test_a_brew_that_is_not_kept_is_forgotten(leader, bench, account, sheet):
    for _ in range(2):
        answer = leader.post(f"{sheet}/forget")
        assert (answer.status_code, answer.headers["location"]) == (303, "/bench")
    assert brew_sheets.list_brews(bench, account.id) == ()


@pytest.mark.parametrize("path", ["", "/tap", "/forget"])
def test_nobody_else_reaches_a_brew(client, stranger, sheet, find, path):
    act = {"tap": "start"}
    answer = client.post(sheet + path, act) if path else client.get(sheet)
    assert answer.headers["location"].startswith("/sign-in")
    assert stranger.get(sheet).status_code == 404
    stranger.post(sheet + path, act)
    assert find().started is None


# ---- for a sealed slot, by the pourer's link ------------------------------------------------


def test_whoever_pours_sees_what_a_slot_is_brewed_by_and_where_it_goes(client, slots):
    page = client.get(f"{slots[1]}/brew/B1").text
    assert "Brew B1: B, fresh cartridge" in page
    assert re.search(r"Fills <strong class=\"number\">\d{3}<", page)


def test_the_sheet_of_a_slot_is_found_from_the_round_and_from_the_register(client, leader, slots):
    assert f'href="{slots[1]}/brew/A1"' in client.get(slots[1]).text
    page = leader.get(f"/tastings/{slots[0]}/brews").text
    assert f'action="/tastings/{slots[0]}/brews/sheet"' in page


def test_looking_at_a_slots_sheet_begins_no_brew(client, bench, account, slots):
    client.get(f"{slots[1]}/brew/A1")
    assert brew_sheets.list_brews(bench, account.id) == ()


def test_the_first_tap_begins_the_brew_of_a_slot(client, bench, account, clock, slots):
    for name in ("start", "1"):
        client.post(f"{slots[1]}/brew/A1/tap", {"tap": name})
        clock.advance(seconds=9)
    (brew,) = brew_sheets.list_brews(bench, account.id, slots[0])
    assert (brew.slot, brew.level, len(brew.brewed.steps)) == ("A1", "A", 2)


def test_the_leader_opens_the_same_sheet(leader, client, bench, account, slots):
    client.post(f"{slots[1]}/brew/A1/tap", {"tap": "start"})
    answer = leader.post(f"/tastings/{slots[0]}/brews/sheet", {"slot": "A1"})
    (brew,) = brew_sheets.list_brews(bench, account.id, slots[0])
    assert answer.headers["location"] == f"/brews/{brew.id}"


@pytest.mark.parametrize("slot", ["A99", "%3Cb%3E", "a1"])
def test_a_slot_that_there_is_not_is_not_found(client, slots, slot):
    assert client.get(f"{slots[1]}/brew/{slot}").status_code == 404
    assert client.post(f"{slots[1]}/brew/{slot}/tap", {"tap": "start"}).status_code == 404


def test_a_link_of_one_round_reaches_no_brew_of_another(client, bench, account, slots):
    second = add_pourer(bench, find_led(bench, account.id, slots[0]), "2")
    assert client.get(f"/pour/{second}/brew/A1").status_code == 404
    assert client.post(f"/pour/{second}/brew/A1/tap", {"tap": "start"}).status_code == 404
    assert brew_sheets.list_brews(bench, account.id) == ()


def test_a_link_reaches_neither_the_bench_nor_a_brew_by_its_id(client, slots, sheet):
    token = slots[1].rsplit("/", 1)[1]
    for path in (sheet, f"/pour/{token}{sheet}", f"{slots[1]}/brew/{sheet.rsplit('/', 1)[1]}"):
        assert client.get(path).status_code in (303, 404)


def test_an_assessors_link_opens_no_sheet(client, bench, slots):
    with bench.reading() as db:
        seat = queries.list_seats(db, slots[0])[0].token
    assert client.get(f"/pour/{seat}/brew/A1").status_code == 404


def test_a_slot_without_a_recipe_says_where_its_readings_go(client, play):
    answer = client.get(f"/pour/{play.made.pourer}/brew/A1")
    assert answer.status_code == 409
    assert "has no recipe" in answer.text


def test_a_sheet_asks_for_as_much_however_many_brews_there_are(
    leader, bench, account, sheet, count_queries
):
    before = count_queries(lambda: leader.get(sheet))
    for number in range(5):
        begin(bench, account.id, recipe=make_recipe(title=f"Barley {number}"))
    assert count_queries(lambda: leader.get(sheet)) == before


def test_a_slots_sheet_asks_for_as_much_however_many_brews_there_are(
    client, slots, clock, count_queries
):
    before = count_queries(lambda: client.get(f"{slots[1]}/brew/A1"))
    for slot in ("A2", "B1", "B2"):
        client.post(f"{slots[1]}/brew/{slot}/readings", {"tds": "1.3", "keep": "1"})
        clock.advance(minutes=4)
    assert count_queries(lambda: client.get(f"{slots[1]}/brew/A1")) == before


def test_another_leader_begins_no_brew_for_a_tasting_that_is_not_theirs(
    stranger, bench, account, slots
):
    path = f"/tastings/{slots[0]}/brews/sheet"
    assert stranger.post(path, {"slot": "A1"}).status_code == 404
    form = {"tasting_id": str(slots[0]), "level": "A"}
    assert stranger.post("/brews", form).status_code == 404
    assert brew_sheets.list_brews(bench, account.id) == ()
