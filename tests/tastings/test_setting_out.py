import pytest

from server.brewing.kit import Kit
from server.storage.tables import Account
from server.tastings.consequences import work_out
from server.tastings.kits import MESSAGES, find_kit, keep_kit, kit_form, read_kit
from server.tastings.planning import PlanNumbers, read_numbers
from server.tastings.refusals import Invalid
from server.tastings.setting_out import refuse_waiting, set_out

SIX = work_out(PlanNumbers(assessors=6, size_percent=50))
MANY = work_out(PlanNumbers(assessors=24, size_percent=50))


def test_nothing_said_is_nothing_known():
    assert read_kit(kit_form(None)) is None
    assert set_out(SIX, None) is None
    refuse_waiting(MANY, None)


def test_what_is_kept_is_found_again(bench, account):
    kit = Kit(cups=40, pots=4, flasks=2, hands=2, wait_min=12)
    keep_kit(bench, account.id, read_kit(kit_form(kit)))
    with bench.reading() as db:
        assert find_kit(db.get_one(Account, account.id)) == kit
    keep_kit(bench, account.id, None)
    with bench.reading() as db:
        assert find_kit(db.get_one(Account, account.id)) is None


@pytest.mark.parametrize("name", list(MESSAGES))
def test_a_number_that_cannot_be_taken_has_its_words(name):
    form = kit_form(Kit(cups=40, pots=4)) | {name: "many"}
    with pytest.raises(Invalid) as refused:
        read_kit(form)
    assert refused.value.messages == {name: MESSAGES[name]}


def test_half_a_kit_is_asked_for_whole():
    with pytest.raises(Invalid) as refused:
        read_kit(kit_form(None) | {"kit_cups": "40"})
    assert list(refused.value.messages) == ["kit_pots"]


def test_waves_and_washing_are_told():
    found = set_out(SIX, Kit(cups=42, pots=4))
    assert found.troubles == ()
    assert found.lines[0] == "All 7 seats of a round are served at once."
    assert "wash up after every 2" in found.lines[3]


def test_cups_enough_for_all_rounds_are_never_washed_in_between():
    assert "nothing need be washed" in set_out(SIX, Kit(cups=63, pots=4)).lines[3]


def test_a_brew_that_would_stand_too_long_is_refused_with_what_helps():
    kit = Kit(cups=80, pots=8)
    with pytest.raises(Invalid) as refused:
        refuse_waiting(MANY, kit)
    said = refused.value.messages["waiting"]
    assert said.startswith("A brew would stand 34 minutes before its last cup, longer than 15.")
    assert "with 2 people who pour" in said
    refuse_waiting(MANY, Kit(cups=80, pots=8, hands=2))


def test_alone_the_cups_of_a_sitting_are_counted():
    alone = work_out(read_numbers({"pourer": "alone", "size_percent": "50", "swallow": "on"}))
    assert "9 of them" in set_out(alone, Kit(cups=9, pots=4, flasks=2)).lines[0]
    assert "9 cups" in set_out(alone, Kit(cups=8, pots=4, flasks=2)).mend
