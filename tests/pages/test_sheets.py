"""Score sheets page by page: copied, built, taken out and brought in."""

import re
from uuid import UUID

import pytest

from server.sheets.cards import export_sheet
from server.sheets.scales.registry import KINDS
from server.sheets.starters import get_starter
from server.tastings import sheets_kept

ROAST = get_starter("roast-consistency").sheet
FIELDS = {
    "line": {"low": "none", "high": "strong"},
    "category": {"words": "none\nweak\nstrong"},
    "magnitude": {"reference": "10 g of sugar a litre", "reference_value": "10"},
    "right": {"words": "too thin\njust about right\ntoo heavy"},
    "tick-all": {"words": "papery\nwoody"},
    "defect": {"levels": "faint\nclear", "words": "papery\nsour milk", "own": "on"},
    "control": {"control": "the open cup", "words": "none\nslight\nlarge"},
    "ranking": {"first": "sweetest", "last": "least sweet"},
}


@pytest.fixture
def kept(bench, account):
    return sheets_kept.keep_sheet(bench, account.id, ROAST)


@pytest.fixture
def read(bench, account):
    return lambda sheet_id: sheets_kept.get_sheet(bench, account.id, sheet_id).sheet


def test_a_starter_is_copied_and_listed(leader):
    answer = leader.post("/sheets/starters/taint-screen")
    assert answer.headers["location"] in leader.get("/sheets").text


def test_an_unknown_starter_is_not_found(leader):
    assert leader.post("/sheets/starters/guessing").status_code == 404


@pytest.mark.parametrize("kind", KINDS)
def test_every_kind_of_scale_can_be_added(leader, kept, read, kind):
    assert leader.get(f"/sheets/{kept}/add", params={"kind": kind}).status_code == 200
    scale = {f"scale_{name}": text for name, text in FIELDS.get(kind, {}).items()}
    if kind == "hedonic":
        scale["scale_words"] = "\n".join(f"word {n}" for n in range(9))
    scope = KINDS[kind].SCOPES[0]
    form = {"kind": kind, "label": "A thing to ask", "scope": scope, "required": "on"} | scale
    assert leader.post(f"/sheets/{kept}/add", form).status_code == 303
    assert read(kept).find_attribute("a-thing-to-ask").scale.kind == kind


def test_adding_the_same_again_is_refused_and_keeps_what_was_typed(leader, kept):
    form = {"kind": "line", "label": "Dust", "scale_low": "none", "scale_high": "thick"}
    leader.post(f"/sheets/{kept}/add", form)
    again = leader.post(f"/sheets/{kept}/add", form)
    assert again.status_code == 422
    assert "is there twice" in again.text
    assert 'value="thick"' in again.text


def test_a_scale_without_its_words_is_refused_beside_them(leader, kept):
    answer = leader.post(f"/sheets/{kept}/add", {"kind": "line", "label": "Dust"})
    assert answer.status_code == 422
    assert re.search(r'id="scale_low-error" role="alert">Must not be empty', answer.text)


def test_an_unknown_kind_is_not_found(leader, kept):
    assert leader.get(f"/sheets/{kept}/add?kind=stars").status_code == 404
    assert leader.post(f"/sheets/{kept}/add", {"kind": "stars"}).status_code == 404


def test_an_attribute_is_changed_under_its_name(leader, kept, read):
    name = ROAST.attributes[0].name
    url = f"/sheets/{kept}/attributes/{name}"
    page = leader.get(url).text
    form = dict(re.findall(r'<input[^>]*name="(\w+)"[^>]*value="([^"]*)"', page))
    form |= {"scope": ROAST.attributes[0].scope, "label": "Something else"}
    form |= {
        found[1]: found[2]
        for found in re.finditer(r'<textarea[^>]*name="(\w+)"[^>]*>([^<]*)<', page)
    }
    assert leader.post(url, form).status_code == 303
    assert read(kept).find_attribute(name).label == "Something else"


def test_an_attribute_that_is_not_there_is_not_found(leader, kept):
    assert leader.get(f"/sheets/{kept}/attributes/guessing").status_code == 404
    assert leader.post(f"/sheets/{kept}/attributes/guessing", {}).status_code == 404


def test_moving_twice_to_one_place_is_moving_once(leader, kept, read):
    last = ROAST.attributes[-1].name
    for _ in range(2):
        leader.post(f"/sheets/{kept}/attributes/{last}/move", {"to": "1"})
    assert read(kept).attributes[0].name == last


def test_there_is_no_place_beyond_the_last(leader, kept):
    name = ROAST.attributes[0].name
    assert leader.post(f"/sheets/{kept}/attributes/{name}/move", {"to": "41"}).status_code == 404


def test_removing_twice_is_removing_once(leader, kept, read):
    name = ROAST.attributes[0].name
    for _ in range(2):
        assert leader.post(f"/sheets/{kept}/attributes/{name}/remove").status_code == 303
    assert len(read(kept).attributes) == len(ROAST.attributes) - 1


def test_the_last_attribute_stays(leader, bench, account):
    one = ROAST.model_copy(update={"attributes": ROAST.attributes[:1]})
    sheet_id = sheets_kept.keep_sheet(bench, account.id, one)
    url = f"/sheets/{sheet_id}/attributes/{ROAST.attributes[0].name}/remove"
    assert "A sheet asks at least one thing" in leader.post(url).text


def test_title_order_and_own_words_are_changed(leader, kept, read):
    form = {"title": "Row 7", "shuffled": "on", "own_words": "3", "own_low": "no", "own_high": "so"}
    leader.post(f"/sheets/{kept}", form)
    found = read(kept)
    assert (found.title, found.shuffled, found.own_words) == ("Row 7", True, 3)
    assert "A word of the assessor’s own" in leader.get(f"/sheets/{kept}").text


def test_too_many_own_words_are_refused(leader, kept):
    answer = leader.post(f"/sheets/{kept}", {"title": "Row 7", "own_words": "11"})
    assert answer.status_code == 422
    assert "a whole number from 0 to 10" in answer.text


def test_a_sheet_is_taken_out_as_the_file_that_stands_for_it(leader, kept):
    answer = leader.get(f"/sheets/{kept}/sheet.json")
    assert answer.content == export_sheet(ROAST)
    assert "Roast-consistency-1.json" in answer.headers["content-disposition"]


def test_a_file_is_brought_in(leader, read):
    files = {"file": ("mine.json", export_sheet(ROAST), "application/json")}
    answer = leader.post("/sheets/import", files=files)
    assert read(UUID(answer.headers["location"].rpartition("/")[2])) == ROAST


@pytest.mark.parametrize("text", [b"", b"not JSON", b'{"format": "shopping list"}'])
def test_a_file_that_is_no_sheet_is_refused(leader, text):
    answer = leader.post("/sheets/import", files={"file": ("x.json", text, "application/json")})
    assert answer.status_code == 422
    assert 'id="file-error" role="alert"' in answer.text


def test_deleting_twice_is_deleting_once(leader, kept):
    for _ in range(2):
        assert leader.post(f"/sheets/{kept}/delete").status_code == 303
    assert leader.get(f"/sheets/{kept}").status_code == 404


def test_words_on_a_sheet_are_no_markup(leader, kept):
    form = {"kind": "line", "label": "<b>x</b>", "scale_low": "<i>", "scale_high": "high"}
    leader.post(f"/sheets/{kept}/add", form)
    assert "<b>x" not in leader.get(f"/sheets/{kept}").text


def test_nobody_opens_the_sheets_of_others(stranger, kept):
    assert stranger.get(f"/sheets/{kept}").status_code == 404
    assert stranger.get(f"/sheets/{kept}/sheet.json").status_code == 404


def test_whoever_is_not_signed_in_is_asked_to_sign_in(client, kept):
    for url in ("/sheets", f"/sheets/{kept}", "/tastings/new/table"):
        assert client.get(url).headers["location"] == f"/sign-in?next={url}"


@pytest.mark.usefixtures("kept")
def test_a_long_list_asks_the_database_as_often_as_a_short_one(leader, count_queries):
    few = count_queries(lambda: leader.get("/sheets"))
    leader.post("/sheets/starters/morning-table")
    assert count_queries(lambda: leader.get("/sheets")) == few


@pytest.mark.parametrize("kind", KINDS)
def test_an_attribute_in_the_making_is_shown_as_at_the_seat(leader, kept, read, kind):
    form = {f"scale_{name}": text for name, text in FIELDS.get(kind, {}).items()}
    if kind == "hedonic":
        form["scale_words"] = "\n".join(f"word {n}" for n in range(9))
    form |= {"kind": kind, "scope": KINDS[kind].SCOPES[0], "label": "A thing to ask"}
    page = leader.post(f"/sheets/{kept}/preview", form).text
    assert f'data-kind="{kind}"' in page
    assert re.findall(r'data-code="(\d{3})"', page)[:3] == ["274", "538", "916"]
    assert not re.search(r"<form|\bchecked\b|\bselected\b", page)
    assert read(kept) == ROAST


def test_what_a_scale_still_needs_is_said_in_place_of_its_preview(leader, kept):
    page = leader.post(f"/sheets/{kept}/preview", {"kind": "category", "scale_words": "none"}).text
    assert "Still missing or wrong" in page
    assert "data-preview" not in page
    assert leader.post(f"/sheets/{kept}/preview", {"kind": "stars"}).status_code == 404


def test_a_sheet_shows_every_attribute_as_at_the_seat_and_sends_none_of_it(leader, kept):
    page = leader.get(f"/sheets/{kept}").text
    assert page.count('<div class="preview" inert') == len(ROAST.attributes)
    sent = "".join(re.findall(r"<form.*?</form>", page, re.DOTALL))
    assert 'name="v.' in page
    assert 'name="v.' not in sent


def test_a_changed_attribute_is_previewed_before_it_is_kept(leader, kept):
    first = ROAST.attributes[0]
    page = leader.get(f"/sheets/{kept}/attributes/{first.name}").text
    assert f'hx-post="/sheets/{kept}/preview"' in page
    for name, part in (("target", "sheet_preview"), ("include", "attribute_form")):
        assert (page.count(f'hx-{name}="#{part}"'), page.count(f'id="{part}"')) == (1, 1)
    assert page.count('class="question"') == 1
    assert 'name="v.' not in "".join(re.findall(r"<form.*?</form>", page, re.DOTALL))


def test_nobody_previews_on_the_sheets_of_others(stranger, kept):
    form = {"kind": "comment", "label": "Anything else"}
    assert stranger.post(f"/sheets/{kept}/preview", form).status_code == 404
