"""What a finding says of two recipes, and no more than that."""

from types import SimpleNamespace

import pytest

from server.blinding.bench_plans import BenchPlan
from server.brewing.recipe import write_recipe
from server.reports.benchmark_tastings import Outcome, find_levels, read_table, read_test
from server.reports.table_means import QuestionMeans, TableMeans
from server.reports.table_verdicts import TableVerdict
from server.reports.verdicts import Verdict
from server.stats.results import Interval
from tests.benchmarked import CONE, HOUSE

NO_FINDING = {
    Verdict.EXPLORATORY,
    Verdict.ABANDONED,
    Verdict.NO_ANSWERS,
    Verdict.BELOW_GUESSING,
}
CLEAN = {Verdict.TOLD_APART, Verdict.FEW_TOLD_APART, Verdict.LEANS}
MISSED = ("not_", "inconclusive", "undecided", "no_lean", "few_")


def make_plan(series=None, **recipes):
    bench = BenchPlan(recipes={level: write_recipe(one) for level, one in recipes.items()})
    return SimpleNamespace(bench=bench if recipes else None, series=series)


def judge(verdict, method="triangle", levels=("B", "A")):
    samples = [SimpleNamespace(level=level, label=f"tea {level}") for level in "AB"]
    analysis = SimpleNamespace(samples=samples, plan=SimpleNamespace(method=method))
    finding = SimpleNamespace(verdict=verdict, headline="A headline.", numbers=())
    return read_test(analysis, finding, levels)


def read(verdict, *questions, samples="AB"):
    finding = SimpleNamespace(verdict=verdict, headline="A headline.", numbers=())
    return read_table(finding, TableMeans(6, questions), ("B", "A"), dict.fromkeys(samples, "tea"))


def make_question(*apart, declared=True, **more):
    means = {"A": 40.0, "B": 52.0, "C": 41.0}
    return QuestionMeans("“Sweet”", declared, "finding", means, 10.0, apart, **more)


def test_samples_are_found_by_the_copies_that_a_plan_holds():
    assert find_levels(make_plan(A=HOUSE, B=CONE), CONE, HOUSE) == ("B", "A")


@pytest.mark.parametrize(
    "plan",
    [
        make_plan(),
        make_plan(A=HOUSE),
        make_plan(A=HOUSE, B=HOUSE),
        make_plan(A=HOUSE, B=CONE.model_copy(update={"version": 2})),
        make_plan(A=HOUSE, B=CONE, series=object()),
    ],
    ids=["no recipes", "one", "the same twice", "another version", "a rising series"],
)
def test_a_plan_without_both_holds_neither_against_the_other(plan):
    assert find_levels(plan, CONE, HOUSE) is None


@pytest.mark.parametrize("verdict", Verdict)
def test_only_a_clean_verdict_tells_two_recipes_apart(verdict):
    outcome = judge(verdict).outcome
    assert (outcome is Outcome.APART) == (verdict in CLEAN)
    assert (outcome is Outcome.NONE) == (verdict in NO_FINDING)
    assert (outcome is Outcome.FEW) == (verdict is Verdict.FEW)
    if verdict.startswith(MISSED) and verdict not in CLEAN | NO_FINDING:
        assert outcome is Outcome.NOT_SHOWN
    if verdict.startswith(("told_apart_", "leans_")):
        assert outcome is Outcome.CLOUDED


def test_a_test_of_other_samples_says_nothing():
    assert judge(Verdict.TOLD_APART, levels=("B", "C")) is None


def test_the_recipes_own_sample_is_named_first():
    assert judge(Verdict.TOLD_APART).labels == ("tea B", "tea A")


def test_a_preference_is_known_by_its_method():
    assert judge(Verdict.LEANS, "paired-preference").liking
    assert not judge(Verdict.LEANS, "paired-comparison").liking


def test_a_table_tells_two_of_many_apart_by_the_declared_question():
    assert (
        read(TableVerdict.DIFFER, make_question(("A", "B")), samples="ABC").outcome is Outcome.APART
    )
    assert read(TableVerdict.DIFFER, make_question(("A", "C")), samples="ABC").outcome is (
        Outcome.NOT_SHOWN
    )


def test_a_question_without_means_decides_only_where_there_are_two_samples():
    assert read(TableVerdict.DIFFER).outcome is Outcome.APART
    assert read(TableVerdict.DIFFER, samples="ABC").outcome is Outcome.NONE


@pytest.mark.parametrize(
    ("verdict", "outcome"),
    [
        (TableVerdict.DIFFER_NOT_MATCHED, Outcome.CLOUDED),
        (TableVerdict.DIFFER_BOWLS, Outcome.CLOUDED),
        (TableVerdict.NOT_SHOWN, Outcome.NOT_SHOWN),
        (TableVerdict.LEADS, Outcome.NONE),
        (TableVerdict.EXPLORATORY, Outcome.NONE),
    ],
)
def test_a_table_says_no_more_than_its_verdict(verdict, outcome):
    assert read(verdict, make_question(("A", "B"))).outcome is outcome


def test_means_are_subtracted_with_the_reach_of_the_finding():
    [row] = read(TableVerdict.DIFFER, make_question(("A", "B"))).means
    assert (row.difference, row.limits, row.apart) == (12.0, Interval(2.0, 22.0), True)


def test_against_a_blind_control_its_own_limits_count():
    question = make_question(("A", "B"), control="A", against={"B": (11.0, 3.0, 19.0)})
    [row] = read(TableVerdict.DIFFER, question).means
    assert (row.difference, row.limits) == (11.0, Interval(3.0, 19.0))


def test_two_samples_read_against_a_control_have_no_limits_between_them():
    question = make_question(control="C", against={"B": (11.0, 3.0, 19.0)})
    [row] = read(TableVerdict.DIFFER, question).means
    assert (row.difference, row.limits) == (12.0, None)
