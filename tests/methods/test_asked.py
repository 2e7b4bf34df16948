from collections.abc import Callable

import pytest

from server.blinding.plans import Direction, Plan
from server.methods.asked import find_model, find_size
from server.stats.forced_choice import THREE_AFC, TRIANGLE, TRIANGLE_ODD_KNOWN, TWO_AFC


def test_whoever_pours_a_triad_takes_no_triangle_test(make_plan: Callable[..., Plan]) -> None:
    assert find_model(make_plan()) is TRIANGLE_ODD_KNOWN
    assert find_model(make_plan(pourer="absent", size_d_prime="1")) is TRIANGLE


def test_with_the_direction_known_a_triad_alone_is_a_3_afc(make_plan: Callable[..., Plan]) -> None:
    more = Direction(attribute="bitter", more="B")
    assert find_model(make_plan(direction=more)) is THREE_AFC


def test_a_directional_pair_alone_stays_what_it_is(make_plan: Callable[..., Plan]) -> None:
    assert find_model(make_plan(method="2-afc", size_d_prime="1")) is TWO_AFC


def test_a_size_given_as_a_share_has_no_d_prime(make_plan: Callable[..., Plan]) -> None:
    size = find_size(make_plan())
    assert (size.share, size.d_prime) == (0.5, None)
    assert size.pc == pytest.approx(2 / 3)


# 3-AFC at d' = 1: .6337 of answers correct (Ennis, 1993, table of d' for 3-AFC; from memory;
# the integral computed with scipy gives .633702).
def test_a_size_given_as_d_prime_follows_the_model(make_plan: Callable[..., Plan]) -> None:
    more = Direction(attribute="bitter", more="B")
    size = find_size(make_plan(direction=more, size_d_prime="1", size_share=None))
    assert size.pc == pytest.approx(0.633702, abs=1e-6)
    assert size.share == pytest.approx((0.633702 - 1 / 3) / (2 / 3), abs=2e-6)
