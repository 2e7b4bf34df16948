import pytest

from server.sheets.panel import SHARED_BOWLS, describe_panel
from server.sheets.scores import collect_ratings
from server.stats.ratings import build_ratings

# Scores of ISO 8586, which prints the F of assessors 1 to 3: 13.36, 2.66, 2.40; everything
# else recomputed independently (two programs).
WORK = {
    "discrimination_f": (13.36, 2.660377358, 2.4, 13.8),
    "discrimination_p": (0.0001482907439, 0.07657100531, 0.09939265403, 0.000126475795),
    "repeatability_mse": (0.5555555556, 2.944444444, 1.166666667, 0.4444444444),
    "agreement_r": (0.9836800801, 0.8955998961, 0.734924177, 0.9763697887),
    "interaction_share": (0.09025974026, 0.2893939394, 0.5647186147, 0.0556277056),
    "level": (0.5416666667, -0.5138888889, -0.6805555556, 0.6527777778),
    "slope": (1.179928505, 1.158215279, 0.5942009797, 1.067655236),
}


@pytest.mark.parametrize("member", WORK)
def test_every_figure_of_every_assessor_of_a_published_table(fish, member):
    found = describe_panel(collect_ratings(fish)).assessors
    assert [getattr(found[name], member) for name in "1234"] == pytest.approx(
        WORK[member], rel=1e-8
    )


def test_scale_use_of_the_same_table(fish):
    # Recomputed independently (two programs).
    found = describe_panel(collect_ratings(fish)).scaling
    assert (found.f, found.p_value) == pytest.approx((2.354743048, 0.1233652498), rel=1e-8)
    assert found.df == (3, 12)
    assert (found.sample_f, found.sample_p_value) == pytest.approx(
        (24.93370091, 5.975219523e-06), rel=1e-8
    )


def test_slopes_average_one(tea):
    slopes = [one.slope for one in describe_panel(collect_ratings(tea)).assessors.values()]
    assert sum(slopes) / 4 == pytest.approx(1)


def test_who_turns_the_scale_round_is_pointed_out():
    values = [[1, 3, 5, 7, 9]] * 3 + [[9, 7, 5, 3, 1]]
    people = [name for name in ("ann", "bo", "cy", "di") for _ in range(5)]
    panel = describe_panel(
        build_ratings(people, list("VWXYZ") * 4, [one for row in values for one in row])
    )
    assert panel.against == ("di",)
    assert panel.turned[0].startswith("di goes against the rest of the panel: r = -1.00")


def test_of_two_who_differ_nobody_is_said_to_go_against_the_other():
    people, names = ["ann"] * 5 + ["bo"] * 5, list("VWXYZ") * 2
    panel = describe_panel(build_ratings(people, names, [1, 3, 5, 7, 9, 9, 7, 5, 3, 1]))
    assert panel.against == ()


def test_gaps_leave_no_slopes_and_it_is_said(tea):
    panel = describe_panel(collect_ratings(tea[1:]))
    assert {one.slope for one in panel.assessors.values()} == {None}
    assert any(note.startswith("Scale use is not estimable") for note in panel.notes)


def test_shared_bowls_leave_the_samples_no_test_that_ignores_them(tea):
    shared = [score._replace(bowl=str(place % 2)) for place, score in enumerate(tea)]
    panel = describe_panel(collect_ratings(shared))
    assert (panel.scaling.sample_f, panel.scaling.sample_p_value) == (None, None)
    assert panel.scaling.p_value is not None
    assert SHARED_BOWLS in panel.notes
