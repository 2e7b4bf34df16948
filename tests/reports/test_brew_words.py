"""What is said of a brew's numbers."""

import re

import pytest

from server.brewing.extraction import Form
from server.brewing.yields import BrewYield
from server.reports.brew_words import FORMS, REASONS, USUAL, explain_yield, say_yield


@pytest.mark.parametrize("form", Form)
def test_a_yield_has_one_decimal_and_its_form_beside_it(form: Form) -> None:
    said = say_yield(BrewYield(21.2666, form, alone=0.27154))
    assert said == f"21.3 % ± 0.5, {FORMS[form]}"


def test_no_yield_is_said_to_be_known_better_than_it_is_shown() -> None:
    assert "± 0.1," in say_yield(BrewYield(20.0, Form.BEVERAGE, alone=0.001))


@pytest.mark.parametrize("reason", REASONS)
def test_where_there_is_no_yield_the_reason_stands_and_no_number(reason: str) -> None:
    found = BrewYield(reason=reason)
    assert say_yield(found) == REASONS[reason]
    assert not re.search(r"\d", say_yield(found))
    assert explain_yield(found) == ()


def test_only_an_estimated_beverage_is_told_with_the_usual_retained_ratio() -> None:
    weighed = BrewYield(20.0, Form.BEVERAGE, alone=0.2)
    guessed = BrewYield(20.0, Form.RETAINED, alone=0.2, estimated=True)
    assert set(explain_yield(guessed)) - set(explain_yield(weighed)) == {USUAL}


def test_what_scales_and_instrument_are_taken_for_is_told_with_their_limits() -> None:
    told = " ".join(explain_yield(BrewYield(20.0, Form.BEVERAGE, alone=0.2)))
    assert "within 0.1 g of coffee and 1 g of the rest" in told
    assert "within 0.03 %TDS" in told
