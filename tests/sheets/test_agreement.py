import pytest

from server.sheets.agreement import measure_agreement
from server.stats.icc import ONE_ASSESSOR
from server.stats.krippendorff import NO_PAIR
from server.stats.ratings import build_ratings

# Six targets rated by four judges: Shrout & Fleiss (1979), Psychological Bulletin, 86, table 2.
JUDGES = [(9, 6, 8, 7, 10, 6), (2, 1, 4, 1, 5, 2), (5, 3, 6, 2, 6, 4), (8, 2, 8, 6, 9, 7)]


@pytest.fixture
def judged():
    people = [f"J{place}" for place in range(1, 5) for _ in range(6)]
    return build_ratings(people, list("123456") * 4, [one for row in JUDGES for one in row])


def test_the_six_intraclass_correlations_of_a_published_table(judged):
    # Table 4 there prints .17 .29 .71 .44 .62 .91 (from memory); digits recomputed
    # independently (two programs).
    found, _ = measure_agreement(judged)
    digits = [0.1657417684, 0.2897637795, 0.7148407148, 0.4427971337, 0.6200505476, 0.9093155424]
    assert [one.value for one in found.icc.values()] == pytest.approx(digits, abs=5e-10)
    assert list(found.icc) == ["1,1", "2,1", "3,1", "1,k", "2,k", "3,k"]


def test_intervals_are_those_of_the_level(judged):
    # Recomputed independently (two programs).
    interval = measure_agreement(judged)[0].icc["2,1"].interval
    assert interval == pytest.approx((0.01878651337, 0.7610843696), abs=1e-8)
    assert measure_agreement(judged, 0.2)[0].icc["2,1"].interval.low > interval.low


def test_concordance_and_alpha_of_the_same_table(judged):
    # Recomputed independently (two programs).
    found, _ = measure_agreement(judged)
    assert (found.kendall_w, found.cronbach_alpha) == pytest.approx(
        (0.887037037, 0.9093155424), abs=5e-10
    )


def test_a_level_of_an_assessor_leaves_consistency_and_lowers_agreement(judged):
    # Ten added to every score of J4; recomputed independently (two programs).
    shifted = judged.value + 10 * (judged.assessor == 3)
    people = [judged.assessors[place] for place in judged.assessor]
    names = [judged.samples[place] for place in judged.sample]
    found, _ = measure_agreement(build_ratings(people, names, shifted))
    assert (found.icc["2,1"].value, found.icc["3,1"].value) == pytest.approx(
        (0.05945072698, 0.7148407148), abs=5e-10
    )
    assert found.kendall_w == pytest.approx(0.887037037, abs=5e-10)


def test_replicates_count_as_one_value_a_cell(judged):
    people = [judged.assessors[place] for place in judged.assessor] * 2
    names = [judged.samples[place] for place in judged.sample] * 2
    values = [*judged.value + 0.5, *judged.value - 0.5]
    assert measure_agreement(build_ratings(people, names, values)) == measure_agreement(judged)


def test_one_assessor_agrees_with_nobody_and_it_is_said():
    found, notes = measure_agreement(build_ratings(["ann", "ann"], ["X", "Y"], [3, 5]))
    assert (found.kendall_w, found.krippendorff_interval, found.cronbach_alpha) == (None,) * 3
    assert {ONE_ASSESSOR, NO_PAIR} <= set(notes)


def test_only_what_is_shown_is_explained(judged):
    # A flat assessor makes correlations of pairs not estimable, which are not shown.
    people = [judged.assessors[place] for place in judged.assessor] + ["flat"] * 6
    names = [judged.samples[place] for place in judged.sample] + list("123456")
    found, notes = measure_agreement(build_ratings(people, names, [*judged.value, *[5] * 6]))
    assert found.kendall_w is not None
    assert notes == ()
