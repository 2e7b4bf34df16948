"""What is weighed and read of a brew, on its sheet and in the record."""

import re

import pytest

from server.blinding.record import fold
from server.reports.brewed_notes import read_note
from server.storage import queries
from server.tastings import brew_sheets, specimens
from server.tastings.closing import close_tasting, unseal_tasting
from tests.brewing_bench import begin, make_recipe, seal_with_recipe

# A mass balance, worked by hand: 260 g of 1.40 % hold 3.64 g of solids, 18.2 % of 20 g.
DRIP = {"dose_g": "20", "beverage_g": "260", "tds": "1.39 1,40 1.40"}
ALL = DRIP | {
    "water_g": "300", "sample_c": "23", "filtered": "yes", "zero": "brew water",
    "instrument": "the small one", "temperature_c": "61.5", "fill_g": "40", "note": "even bed",
}  # fmt: skip


@pytest.fixture
def brew_id(bench, account):
    return begin(bench, account.id)


@pytest.fixture
def sheet(brew_id):
    return f"/brews/{brew_id}"


@pytest.fixture
def find(bench, account, brew_id):
    return lambda: brew_sheets.get_brew(bench, account.id, brew_id)


@pytest.fixture
def save(leader, sheet):
    """Send the readings' form."""

    def send(status=303, **form):
        answer = leader.post(f"{sheet}/readings", form)
        assert answer.status_code == status, answer.text
        return answer

    return send


@pytest.fixture
def sealed(bench, account, plan_input):
    tasting_id, token = seal_with_recipe(bench, account.id, plan_input())
    return tasting_id, f"/pour/{token}/brew/A1"


@pytest.fixture
def record(bench, sealed):
    """The record of that tasting, and how many events it has."""

    def load():
        with bench.reading() as db:
            events = queries.load_events(db, sealed[0])
        return fold(events, "seal"), len(events)

    return load


def test_everything_typed_is_noted_and_stands_in_the_form_again(leader, sheet, save):
    save(**ALL)
    page = leader.get(sheet).text
    for name, value in (ALL | {"tds": "1.39 1.40 1.40"}).items():
        if name not in ("filtered", "zero"):
            assert re.search(rf'id="{name}"[^>]*value="{re.escape(value)}"', page), name
    for chosen in ("yes", "brew water"):
        assert f'value="{chosen}" selected' in page


def test_the_yield_stands_with_its_limits_and_its_form(leader, sheet, save):
    save(**DRIP)
    page = leader.get(sheet).text
    assert re.search(r"Extraction yield 18\.2 % ± 0\.\d, from the weighed beverage", page)
    assert "± counts scales right within 0.1 g of coffee" in page


def test_nothing_planned_is_taken_for_what_was_weighed(leader, sheet, save, find):
    save(**DRIP | {"dose_g": ""})
    assert (find().brewed.dose_g, find().brewed.water_g) == (None, None)
    assert "the dose was not noted" in leader.get(sheet).text


def test_what_was_as_planned_is_ticked(save, find):
    save(dose_g_planned="on", water_g="318", water_g_planned="on")
    assert (find().brewed.dose_g, find().brewed.water_g) == (20, 318)


def test_a_slipped_point_is_asked_about_before_anything_is_noted(save, find):
    answer = save(422, **DRIP | {"tds": "13.6"})
    assert "1.36?" in answer.text
    assert 'value="13.6"' in answer.text
    assert find().brewed.tds == ()


def test_one_tap_takes_what_was_meant(save, find):
    save(**DRIP | {"tds": "13.6 13.7", "take": "tds"})
    assert [str(one) for one in find().brewed.tds] == ["1.36", "1.37"]


def test_what_is_right_as_typed_is_noted_and_not_asked_about_again(save, find):
    save(**DRIP | {"tds": "13.6", "sure": "1"})
    save(**DRIP | {"tds": "13.6", "note": "concentrate"})
    assert [str(one) for one in find().brewed.tds] == ["13.6"]


def test_a_question_remembers_that_the_brew_was_to_be_kept(save):
    answer = save(422, **DRIP | {"tds": "13.6", "keep": "1"})
    assert '<input type="hidden" name="keep" value="1">' in answer.text


@pytest.mark.parametrize(
    ("typed", "field"),
    [
        ({"water_g": "250"}, "beverage_g"),
        ({"water_g": "15", "beverage_g": "14"}, "water_g"),
        ({"dose_g": "a spoon"}, "dose_g"),
        ({"water_g": "0"}, "water_g"),
        ({"water_g": "lots", "water_unit": "mL"}, "water_g"),
        ({"tds": "strong"}, "tds"),
        ({"tds": "1.3 " * 21}, "tds"),
        ({"sample_c": "101"}, "sample_c"),
        ({"fill_g": "-1"}, "fill_g"),
        ({"note": "x" * 301}, "note"),
        ({"retained_ratio": "11"}, "retained_ratio"),
    ],
)
def test_what_cannot_be_has_its_words_beside_it_and_all_stays_typed(save, find, typed, field):
    form = ALL | typed
    page = save(422, **form).text
    assert re.search(rf'id="{field}-error" role="alert">\w', page)
    for name in ("instrument", "temperature_c", field):
        assert f'value="{form[name]}"' in page
    assert find().brewed.tds == ()


@pytest.mark.parametrize("name", ["filtered", "zero"])
def test_a_choice_that_is_not_offered_is_refused(save, name):
    save(422, **DRIP | {name: "perhaps"})


# 150 mL at 93 °C weigh about 144.5 g with a density of .963 g/mL (Kell 1975, from memory).
def test_hot_millilitres_are_noted_as_grams_and_said_so(leader, save, find):
    answer = save(dose_g="10", water_g="150", water_unit="mL")
    assert str(find().brewed.water_g) == "144.5"
    page = leader.get(answer.headers["location"]).text
    assert "150 mL at 93 °C weigh about 144.5 g" in page


@pytest.mark.parametrize("ml", ["x", "151", "%3Cb%3E", "9" * 400])
def test_an_address_says_nothing_of_water_that_was_not_noted(leader, sheet, save, ml):
    save(dose_g="10", water_g="150", water_unit="mL")
    assert "weigh about" not in leader.get(f"{sheet}?ml={ml}").text


def test_readings_far_apart_and_a_warm_sample_are_warned_of(leader, sheet, save):
    save(**DRIP | {"tds": "1.30 1.36", "sample_c": "48"})
    page = leader.get(sheet).text
    assert "The readings lie 0.06 %TDS apart" in page
    assert "A sample at 48 °C reads wrong" in page


@pytest.mark.parametrize(
    ("how", "asked"),
    [
        ("percolation", {"retained_ratio"}),
        ("immersion", {"absorbed_ratio"}),
        ("mixed", {"absorbed_ratio", "last_drops"}),
        ("espresso", set()),
    ],
)
def test_a_brewer_is_asked_for_what_its_yield_takes(leader, bench, account, how, asked):
    brew = begin(bench, account.id, recipe=make_recipe(device={"how": how}))
    names = set(re.findall(r'name="(\w+)"', leader.get(f"/brews/{brew}").text))
    assert names & {"retained_ratio", "absorbed_ratio", "last_drops"} == asked


def test_keeping_finishes_the_brew_and_readings_still_come_later(leader, sheet, save, find, clock):
    save(note="first", keep="1")
    kept_at = find().kept_at
    clock.advance(minutes=40)
    save(**DRIP)
    assert (find().kept_at, len(find().brewed.tds)) == (kept_at, 3)
    assert "It is kept." in leader.get(sheet).text


def test_an_empty_sheet_is_not_kept(save):
    assert "nothing to keep" in save(409, keep="1").text


def test_the_piece_that_made_the_brew_is_counted_when_it_is_kept(bench, account, save, find):
    form = {"label": "cloth 2", "part": "cloth filter", "state": "washed"}
    cloth = specimens.add_specimen(bench, account.id, form)
    save(specimen="cloth 2", note="slow", keep="1")
    assert find().brewed.part.brews_before == 0
    assert specimens.get_specimen(bench, account.id, cloth).brews == 1
    save(specimen="", note="slow")
    assert specimens.get_specimen(bench, account.id, cloth).brews == 0


def test_a_piece_that_there_is_not_is_refused(bench, account, save):
    form = {"label": "cloth 2", "part": "cloth filter", "state": "washed"}
    specimens.add_specimen(bench, account.id, form)
    assert "Choose one of the pieces" in save(422, specimen="cloth 9", note="slow").text


# ---- times typed afterwards ----------------------------------------------------------------


def test_a_missed_tap_is_typed_later(leader, sheet):
    form = {"at_0": "0:00", "scale_0": "61,5", "at_2": "0:44", "at_end": "2:58"}
    assert leader.post(f"{sheet}/times", form).status_code == 303
    page = leader.get(sheet).text
    assert re.findall(r'brew-done">([^<]*)<', page) == ["0:00", "", "0:44", "2:58"]
    assert "(scale 61.5 g)" in page


@pytest.mark.parametrize(
    ("typed", "field"),
    [
        ({"at_1": "soon"}, "at_1"),
        ({"scale_0": "heavy", "at_0": "0:00"}, "scale_0"),
        ({"scale_2": "318"}, "at_2"),
        ({"at_2": "0:44", "at_end": "0:30"}, "at_end"),
    ],
)
def test_a_time_that_cannot_be_has_its_words_beside_it(leader, sheet, find, typed, field):
    answer = leader.post(f"{sheet}/times", typed)
    assert answer.status_code == 422
    assert re.search(rf'id="{field}-error" role="alert">\w', answer.text)
    for value in typed.values():
        assert f'value="{value}"' in answer.text
    assert find().brewed.steps == ()


# ---- for a sealed slot: the record -----------------------------------------------------------


def test_nothing_stands_in_the_record_before_a_slots_brew_is_kept(client, sealed, record):
    client.post(f"{sealed[1]}/tap", {"tap": "start"})
    client.post(f"{sealed[1]}/readings", DRIP)
    assert record()[1] == 0


def test_a_kept_brew_stands_in_the_record_with_all_that_was_done(client, sealed, record):
    client.post(f"{sealed[1]}/tap", {"tap": "start"})
    client.post(f"{sealed[1]}/readings", ALL | {"keep": "1"})
    note = record()[0].brews["A1"]
    assert (note.tds, note.temperature_c, note.fill_g) == (("1.39", "1.40", "1.40"), "61.5", "40")
    read = read_note(note)
    assert (read.started, read.beverage_g) == ("2031-05-14T09:00:00.000+00:00", 260)
    assert [one.kind for one in read.steps] == ["pour"]


def test_the_same_again_notes_nothing(client, sealed, record):
    for _ in range(3):
        client.post(f"{sealed[1]}/readings", ALL | {"keep": "1"})
    assert record()[1] == 1


def test_later_readings_take_the_place_of_earlier_ones_and_both_stay(client, sealed, record):
    client.post(f"{sealed[1]}/readings", {"beverage_g": "260", "keep": "1"})
    client.post(f"{sealed[1]}/readings", DRIP)
    found, events = record()
    assert (found.brews["A1"].tds, events) == (("1.39", "1.40", "1.40"), 2)


def test_readings_may_come_after_closing_and_not_after_unsealing(
    client, bench, account, sealed, record
):
    client.post(f"{sealed[1]}/readings", {"beverage_g": "260", "keep": "1"})
    close_tasting(bench, sealed[0], "the shop opens", "absent")
    assert client.post(f"{sealed[1]}/readings", DRIP).status_code == 303
    unseal_tasting(bench, sealed[0])
    assert client.post(f"{sealed[1]}/readings", DRIP | {"tds": "1.2"}).status_code == 409
    assert record()[0].brews["A1"].tds == ("1.39", "1.40", "1.40")
    client.post(f"{sealed[1]}/again")  # from a page left open
    assert len(brew_sheets.list_brews(bench, account.id)) == 1
    page = client.get(sealed[1]).text
    assert "takes no more readings" in page
    assert "<button" not in page


def test_a_sheet_goes_on_from_what_the_short_form_noted(client, sealed, record):
    bar = sealed[1].split("/brew/")[0]
    client.post(f"{bar}/brews", {"slot": "A1", "tds": "1.31", "fill_g": "41"})
    assert 'value="1.31"' in client.get(sealed[1]).text
    client.post(f"{sealed[1]}/readings", {"tds": "1.31", "fill_g": "41", "beverage_g": "280"})
    note = record()[0].brews["A1"]
    assert (note.tds, read_note(note).beverage_g) == (("1.31",), 280)


def test_a_spoilt_brew_is_brewed_again_and_counts_once_that_is_kept(client, sealed, record):
    client.post(f"{sealed[1]}/readings", {"beverage_g": "260", "keep": "1"})
    for _ in range(2):
        client.post(f"{sealed[1]}/again")
    assert "Water on" in client.get(sealed[1]).text
    assert read_note(record()[0].brews["A1"]).beverage_g == 260
    client.post(f"{sealed[1]}/readings", {"beverage_g": "255", "keep": "1"})
    found, events = record()
    assert (read_note(found.brews["A1"]).beverage_g, events) == (255, 2)


def test_an_earlier_brew_for_a_slot_changes_the_record_no_more(
    client, leader, bench, account, clock, sealed, record
):
    for beverage in ("260", "255"):
        client.post(f"{sealed[1]}/again")
        client.post(f"{sealed[1]}/readings", {"beverage_g": beverage, "keep": "1"})
        clock.advance(minutes=9)
    first = brew_sheets.list_brews(bench, account.id, sealed[0])[-1].id
    answer = leader.post(f"/brews/{first}/readings", {"beverage_g": "270"})
    assert answer.status_code == 409
    assert 'value="260"' in leader.get(f"/brews/{first}").text
    assert read_note(record()[0].brews["A1"]).beverage_g == 255


@pytest.mark.parametrize("path", ["tap", "readings", "times", "again"])
def test_a_slot_that_there_is_not_takes_nothing(client, bench, account, sealed, path):
    answer = client.post(f"{sealed[1][:-2]}A99/{path}", {"tap": "start", "note": "slow"})
    assert answer.status_code == 404
    assert brew_sheets.list_brews(bench, account.id) == ()
