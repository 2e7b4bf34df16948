import numpy as np
import pytest

from server.stats.bootstrap import draw_panels

# The x of a synthetic cloud; the ideal standard error of its mean by the bootstrap, the root of
# (n - 1)/n of the variance over n, recomputed independently (two programs).
X = np.array([1, 2, 3, 2.5, 1.5, 3.5, 2, 4, 3, 2.5])
IDEAL = 0.2738612788


def test_means_of_drawn_panels_spread_as_the_ideal_bootstrap_says():
    means = draw_panels(len(X), 40_000, seed=2) @ X
    assert means.std() == pytest.approx(IDEAL, rel=0.015)
    assert means.mean() == pytest.approx(X.mean(), abs=4 * IDEAL / 200)


def test_the_same_seed_draws_the_same_panels_and_another_others():
    one, same, other = (draw_panels(6, 20, seed) for seed in (7, 7, 8))
    assert (one == same).all()
    assert (one != other).any()


def test_every_panel_is_full():
    seats = draw_panels(6, 50, seed=1) * 6
    assert (seats.round(9) == seats.round()).all()
    assert seats.sum(axis=1) == pytest.approx(np.full(50, 6))


@pytest.mark.parametrize(("arguments", "name"), [((0, 1, 1), "assessors"), ((1, 0, 1), "draws")])
def test_bad_arguments_are_named(arguments, name):
    with pytest.raises(ValueError, match=f"{name} must be 1 or more, not 0"):
        draw_panels(*arguments)
