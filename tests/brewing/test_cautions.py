import re

from server.brewing.cautions import CAFFEINE, CAUTIONS, HOT, LOCAL_CODES, NOT_A_COMPLIANCE_TEST


def test_every_caution_names_who_has_the_say() -> None:
    assert all(re.search(r"author|rule|law|doctor|EFSA|IARC", one.authority) for one in CAUTIONS)


def test_cautions_have_names_of_their_own() -> None:
    assert len({one.name for one in CAUTIONS}) == len(CAUTIONS) == 8


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
