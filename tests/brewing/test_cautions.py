import re

import pytest

from server.brewing.cautions import (
    CAFFEINE,
    CAUTIONS,
    HOT,
    LOCAL_CODES,
    MINORS,
    NOT_A_COMPLIANCE_TEST,
    PLACES,
    SPIKING,
    find_cautions,
)


def test_every_caution_names_who_has_the_say() -> None:
    assert all(re.search(r"author|rule|law|doctor|EFSA|IARC", one.authority) for one in CAUTIONS)


def test_cautions_have_names_of_their_own() -> None:
    assert len({one.name for one in CAUTIONS}) == len(CAUTIONS) == 10


# IARC Monographs volume 116: drinking above 65 °C.
def test_no_caution_speaks_of_serving_above_sixty_five_degrees() -> None:
    assert {int(n) for one in CAUTIONS for n in re.findall(r"(\d+) °C", one.text)} == {65}


# EFSA Journal 13(5):4102, 2015.
def test_caffeine_guides_are_those_of_the_authority() -> None:
    assert re.findall(r"(\d+) mg", CAFFEINE.text) == ["200", "400", "200"]


def test_heat_and_not_coffee_is_named_as_the_cause() -> None:
    assert "heat and not for the coffee" in HOT.text


def test_a_result_is_never_offered_as_compliance() -> None:
    assert NOT_A_COMPLIANCE_TEST == "A tasting result is not a compliance test."


def test_local_codes_come_first() -> None:
    assert "local codes" in LOCAL_CODES


def test_every_caution_stands_somewhere() -> None:
    assert {one for found in PLACES.values() for one in found} == set(CAUTIONS)


@pytest.mark.parametrize("place", PLACES)
def test_a_place_names_each_of_its_cautions_once(place: str) -> None:
    names = [one.name for one in find_cautions(place)]
    assert len(names) == len(set(names)) > 0


# EFSA Journal 13(5):4102, 2015: 3 mg a kg of body weight and day for children and adolescents.
def test_the_young_have_a_guide_of_their_own() -> None:
    assert "3 mg of caffeine a day for each kg" in MINORS.text
    assert "guardian" in MINORS.text


def test_nothing_is_added_to_a_cup_that_people_were_not_told_of() -> None:
    assert "Tell everybody beforehand" in SPIKING.text
    assert "never add an allergen that nobody was told of" in SPIKING.text
