import numpy as np
import pytest

from server.stats.consensus import TOO_FEW, find_consensus
from server.stats.consensus_chance import judge_consensus


def draw_alike(seed, noise, assessors=5, samples=6, columns=2):
    """Assessors who see one shape, each through noise of the own."""
    rng = np.random.default_rng(seed)
    shape = rng.normal(size=(samples, columns))
    return [shape + noise * rng.normal(size=shape.shape) for _ in range(assessors)]


def count_wrong(panels, draws):
    """Share of panels without anything in common that come out at 5 % or less."""
    rng = np.random.default_rng(21)
    p_values = [
        judge_consensus(list(rng.normal(size=(4, 5, 2))), draws=draws, seed=at).p_value
        for at in range(panels)
    ]
    return np.mean(np.array(p_values) <= 0.05)


def test_assessors_who_agree_are_told_from_chance():
    found = judge_consensus(draw_alike(1, noise=0.3), draws=99)
    assert (found.p_value, found.ratio > found.mean_by_chance) == (0.01, True)


def test_turning_alone_finds_much_in_random_numbers():
    found = judge_consensus(draw_alike(2, noise=1e3, samples=4, columns=3), draws=99)
    assert found.mean_by_chance > 0.5
    assert found.p_value > 0.05


def test_the_ratio_is_that_of_the_consensus():
    alike = draw_alike(3, noise=0.1)
    expected = find_consensus(alike, "abcde", "UVWXYZ").ratio
    assert judge_consensus(alike, draws=1).ratio == pytest.approx(expected, rel=1e-5)


def test_the_same_seed_gives_the_same_value():
    alike = draw_alike(4, noise=1.0)
    assert judge_consensus(alike, draws=49, seed=5) == judge_consensus(alike, draws=49, seed=5)


def test_without_anything_in_common_one_in_twenty_panels_comes_out():
    assert count_wrong(panels=60, draws=39) <= 0.05 + 3 * (0.05 * 0.95 / 60) ** 0.5


@pytest.mark.long
def test_without_anything_in_common_one_in_twenty_of_many_panels_comes_out():
    share = count_wrong(panels=2000, draws=99)
    assert share == pytest.approx(0.05, abs=4 * (0.05 * 0.95 / 2000) ** 0.5)


def test_one_assessor_has_no_test_and_a_reason():
    found = judge_consensus(draw_alike(6, noise=1.0, assessors=1))
    assert (found.p_value, found.notes) == (None, (TOO_FEW,))


@pytest.mark.parametrize(("option", "value"), [("draws", 0), ("seed", -1)])
def test_bad_options_are_named(option, value):
    with pytest.raises(ValueError, match=f"{option} must be"):
        judge_consensus(draw_alike(7, noise=1.0), **{option: value})
