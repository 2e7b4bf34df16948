import pytest

from server.stats.similarity import most_correct, similarity_power
from server.stats.similarity_trials import trials_for_similarity

THIRD = 1 / 3
BETAS = ("0.2", "0.1", "0.05", "0.01", "0.001")


def test_first_numbers_equal_the_triangle_table_of_assessors(triangle_assessors_row):
    # ISO 4120, Table A.3 (see the file's head): keeping beta at the limit and alpha where
    # nobody notices anything takes the same number of answers, however the claim is put.
    limit, alpha = int(triangle_assessors_row["pd"]) / 100, float(triangle_assessors_row["alpha"])
    found = {b: trials_for_similarity(THIRD, limit, float(b), 1 - alpha).trials for b in BETAS}
    assert found == {b: int(triangle_assessors_row[b]) for b in BETAS}


@pytest.mark.parametrize(
    ("limit", "alpha", "printed"),
    [
        (0.5, 0.2, (12, 19, 26, 39, 58)),
        (0.5, 0.1, (19, 26, 33, 48, 70)),
        (0.5, 0.05, (23, 33, 42, 58, 82)),
        (0.5, 0.01, (40, 50, 59, 80, 107)),
        (0.5, 0.001, (61, 71, 83, 107, 140)),
        (0.3, 0.2, (32, 49, 68, 110, 166)),
        (0.3, 0.1, (53, 72, 96, 145, 208)),
        (0.3, 0.05, (69, 93, 119, 173, 243)),
        (0.3, 0.01, (112, 143, 174, 235, 319)),
        (0.3, 0.001, (172, 210, 246, 318, 412)),
    ],
)
def test_first_numbers_equal_the_duo_trio_table_of_assessors(limit, alpha, printed):
    # ISO 10399, Table A.3, from memory, then recomputed; beta 0.2 to 0.001.
    found = [
        trials_for_similarity(0.5, limit, beta, 1 - alpha).trials
        for beta in (0.2, 0.1, 0.05, 0.01, 0.001)
    ]
    assert found == list(printed)


@pytest.mark.parametrize(
    ("chance", "limit", "beta", "power", "true_share", "sided"),
    [
        (THIRD, 0.3, 0.05, 0.8, 0.0, "one"),
        (THIRD, 0.4, 0.1, 0.9, 0.1, "one"),
        (0.5, 0.4, 0.05, 0.8, 0.0, "one"),
        (0.5, 0.4, 0.05, 0.8, 0.0, "two"),
        (0.5, 0.5, 0.1, 0.3, 0.1, "two"),
        (0.1, 0.9, 0.3, 0.4, 0.0, "one"),
        (THIRD, 0.5, 0.3, 0.3, 0.0, "one"),
    ],
)
def test_both_numbers_equal_those_of_a_search_one_by_one(
    chance, limit, beta, power, true_share, sided
):
    found = trials_for_similarity(chance, limit, beta, power, true_share, sided)
    powers = [
        similarity_power(trials, chance, limit, beta, true_share, sided)
        for trials in range(1, found.trials_stable + 100)
    ]
    enough = [x >= power for x in powers]
    assert found.trials == enough.index(True) + 1
    assert found.trials_stable == len(enough) - enough[::-1].index(False) + 1


def test_a_plan_states_what_it_reaches():
    found = trials_for_similarity(THIRD, 0.3)
    assert found.most_correct == most_correct(found.trials, THIRD, 0.3, 0.05)
    assert (found.achieved_beta, found.achieved_power) == pytest.approx(
        (
            similarity_power(found.trials, THIRD, 0.3, 0.05, 0.3),
            similarity_power(found.trials, THIRD, 0.3),
        )
    )


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: trials_for_similarity(1.0, 0.3), "chance .* not 1.0"),
        (lambda: trials_for_similarity(THIRD, 1.0), "limit .* not 1.0"),
        (lambda: trials_for_similarity(THIRD, 0.3, 0.0), "beta .* not 0.0"),
        (lambda: trials_for_similarity(THIRD, 0.3, power=1.0), "power .* not 1.0"),
        (lambda: trials_for_similarity(THIRD, 0.3, true_share=0.3), "below limit .* not 0.3"),
        (lambda: trials_for_similarity(THIRD, 0.3, sided="two"), "chance must be 0.5"),
        (lambda: trials_for_similarity(THIRD, 0.001), "stops at 100,000"),
    ],
)
def test_impossible_plans_are_refused_by_name_and_value(call, message):
    with pytest.raises(ValueError, match=message):
        call()
