import numpy as np
import pytest

from server.stats.primary import judge_by_primary


def test_the_others_are_findings_only_if_the_primary_passes():
    passed = judge_by_primary({"bitter": 0.04, "sweet": 0.001, "body": 0.9}, "bitter")
    failed = judge_by_primary({"bitter": 0.06, "sweet": 0.001, "body": 0.9}, "bitter")
    assert (passed.findings, failed.findings) == (("bitter", "sweet"), ())
    assert failed.leads == ("sweet",)


def test_the_others_are_adjusted_among_themselves():
    # Holm (1979): 0.01 × 3, 0.02 × 2, 0.03 × 1, none below the one before it.
    found = judge_by_primary({"p": 0.01, "a": 0.03, "b": 0.01, "c": 0.02}, "p")
    assert found.adjusted == pytest.approx({"a": 0.04, "b": 0.03, "c": 0.04})


def test_a_primary_at_the_level_passes():
    assert judge_by_primary({"p": 0.05}, "p").findings == ("p",)


def test_a_primary_that_is_not_estimable_passes_nothing():
    found = judge_by_primary({"p": None, "a": 0.001}, "p")
    assert (found.passed, found.findings, found.leads) == (False, (), ("a",))


def test_nothing_true_is_found_more_often_than_the_level_allows():
    p_values = np.random.default_rng(1979).uniform(size=(4000, 6))
    names = list("pabcde")
    found = [judge_by_primary(dict(zip(names, row, strict=True)), "p").findings for row in p_values]
    assert sum(map(bool, found)) / 4000 < 0.05 + 4 * (0.05 * 0.95 / 4000) ** 0.5


def test_a_primary_that_is_not_there_is_refused():
    with pytest.raises(ValueError, match="primary must be one of a, b, not 'c'"):
        judge_by_primary({"a": 0.1, "b": 0.2}, "c")
