"""Every caution stands where the work is done, with who has the say."""

import pytest

from server.brewing.cautions import LOCAL_CODES, NOT_A_COMPLIANCE_TEST, find_cautions
from tests.brewing_bench import begin
from tests.tastings.test_soaking import TYPED

SEATED = (
    "Serve and sip at 65 °C or below",
    "An allergy, or caffeine to avoid?",
    "Drink only from your own cups",
    "nothing about health should be stored",
)
LEADING = {
    "/tastings/new": ("plan", "added"),
    "/tastings/new/series": ("added",),
    "/soak": ("soak",),
    "/bench": ("bench",),
    "/tastings/new/table": ("plan",),
}


def assert_shown(page, place):
    unescaped = page.replace("&#39;", "'")
    for one in find_cautions(place):
        assert one.text in unescaped, one.name
        assert one.authority in unescaped, one.name
    assert LOCAL_CODES in unescaped


@pytest.mark.parametrize(
    ("path", "place"), [(path, one) for path, places in LEADING.items() for one in places]
)
def test_a_leaders_page_shows_the_cautions_of_its_place(leader, path, place):
    assert_shown(leader.get(path).text, place)


def test_whoever_pours_sees_those_of_pouring(client, sealed_tasting):
    assert_shown(client.get(f"/pour/{sealed_tasting.pourer}").text, "pour")


def test_a_brew_sheet_shows_those_of_brewing(leader, account, bench):
    assert_shown(leader.get(f"/brews/{begin(bench, account.id)}").text, "brew sheet")


def test_the_links_say_what_to_tell_people_before_they_sit_down(leader, home):
    assert_shown(leader.get(f"{home}/links").text, "seats")


def test_the_printed_soak_shows_those_of_a_soak(leader):
    from server.tastings.soaking import empty_soak

    sheet = leader.get("/soak/sheet", params=empty_soak() | TYPED).text
    assert_shown(sheet, "soak")
    assert NOT_A_COMPLIANCE_TEST in sheet


def test_a_seat_is_told_of_heat_allergies_and_its_own_cups(client, sealed_tasting):
    page = client.get(f"/seat/{sealed_tasting.tokens[1]}").text
    for said in SEATED:
        assert said in page
    assert LOCAL_CODES in page


def test_no_page_asks_anybody_for_anything_about_health(leader, client, sealed_tasting):
    for page in (
        leader.get("/tastings/new").text,
        client.get(f"/seat/{sealed_tasting.tokens[1]}").text,
    ):
        assert not {"allergy", "pregnancy", "medication"} & set(_list_fields(page))


def _list_fields(page):
    import re

    return re.findall(r'name="(\w+)"', page)
