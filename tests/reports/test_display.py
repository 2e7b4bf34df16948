from decimal import Decimal

import pytest

from server.reports.display import (
    join_words,
    show_chance,
    show_difference,
    show_number,
    show_p,
    show_share,
)


@pytest.mark.parametrize(
    ("p", "shown"),
    [(0.0, "< 0.0001"), (0.00009, "< 0.0001"), (0.0001, "0.0001"), (0.04996, "0.0500")],
)
def test_p_has_four_decimals_or_a_bound(p, shown):
    assert show_p(p) == shown


@pytest.mark.parametrize(
    ("share", "shown"), [(0, "0%"), (0.125, "12.5%"), (1 / 3, "33.3%"), (1, "100%")]
)
def test_a_share_has_a_decimal_only_if_needed(share, shown):
    assert show_share(share) == shown


@pytest.mark.parametrize(
    ("p", "shown"),
    [(0.0004, "4 of 10,000"), (0.05, "5 of 100"), (1.0, "100 of 100"), (0.02, "2 of 100")],
)
def test_a_chance_is_told_in_cases(p, shown):
    assert show_chance(p) == shown


@pytest.mark.parametrize(("text", "shown"), [("100", "100"), ("1E+1", "10"), ("0.10", "0.1")])
def test_a_number_is_as_short_as_it_is(text, shown):
    assert show_number(Decimal(text)) == shown


def test_a_difference_just_beyond_its_limit_never_prints_as_the_limit():
    assert show_difference(Decimal("0.05000001")) == "0.051"


def test_no_words_join_to_nothing():
    assert join_words([]) == ""
