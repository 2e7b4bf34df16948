"""Critical values of ISO 5725-2, Tables 4 to 7.

The printed three digits are from memory; the others were recomputed independently in two programs.
"""

import numpy as np
import pytest

from server.stats.outlier_limits import (
    cochran_limit,
    grubbs_limit,
    mandel_h_limit,
    mandel_k_limit,
)


@pytest.mark.parametrize(
    ("find", "arguments", "printed", "computed"),
    [
        (grubbs_limit, (10, 0.05), 2.290, 2.289954084),
        (grubbs_limit, (10, 0.01), 2.482, 2.48208325),
        (cochran_limit, (10, 2, 0.05), 0.602, 0.6020095611),
        (cochran_limit, (10, 2, 0.01), 0.718, 0.7174886322),
    ],
)
def test_limits_of_the_extreme_laboratory_are_those_of_the_standard(
    find, arguments, printed, computed
):
    assert find(*arguments) == pytest.approx(computed, rel=1e-9)
    assert abs(find(*arguments) - printed) < 0.0006  # 0.718 stands for 0.71749


@pytest.mark.parametrize(
    ("find", "arguments", "printed", "computed"),
    [
        (mandel_h_limit, (10, 0.05), 1.80, 1.798410005),
        (mandel_h_limit, (10, 0.01), 2.18, 2.176068394),
        (mandel_k_limit, (10, 2, 0.05), 1.90, 1.903908645),
        (mandel_k_limit, (10, 2, 0.01), 2.32, 2.32359842),
    ],
)
def test_limits_of_one_laboratory_are_those_of_the_standard(find, arguments, printed, computed):
    assert find(*arguments) == pytest.approx(computed, rel=1e-9)
    assert round(find(*arguments), 2) == printed


def test_values_of_equal_laboratories_pass_the_limits_as_often_as_they_should():
    rng = np.random.default_rng(5725)
    values = rng.normal(size=(40_000, 8, 3))
    variances, means = values.var(axis=2, ddof=1), values.mean(axis=2)
    share = variances.max(axis=1) / variances.sum(axis=1)
    spread = means.std(axis=1, ddof=1)
    far = np.abs(means - means.mean(axis=1, keepdims=True)).max(axis=1) / spread
    assert np.mean(share > cochran_limit(8, 3, 0.05)) == pytest.approx(0.05, abs=0.005)
    assert np.mean(far > grubbs_limit(8, 0.05)) == pytest.approx(0.05, abs=0.005)


def test_one_laboratory_passes_mandels_limits_as_often_as_it_should():
    rng = np.random.default_rng(5726)
    values = rng.normal(size=(40_000, 8, 3))
    variances, means = values.var(axis=2, ddof=1), values.mean(axis=2)
    k = np.sqrt(variances[:, 0] / variances.mean(axis=1))
    h = (means[:, 0] - means.mean(axis=1)) / means.std(axis=1, ddof=1)
    assert np.mean(k > mandel_k_limit(8, 3, 0.05)) == pytest.approx(0.05, abs=0.005)
    assert np.mean(np.abs(h) > mandel_h_limit(8, 0.05)) == pytest.approx(0.05, abs=0.005)


@pytest.mark.parametrize(
    ("find", "arguments", "message"),
    [
        (grubbs_limit, (2, 0.05), "laboratories must be 3 or more, not 2"),
        (mandel_h_limit, (2, 0.05), "laboratories must be 3 or more, not 2"),
        (cochran_limit, (1, 2, 0.05), "laboratories must be 2 or more, not 1"),
        (cochran_limit, (3, 1, 0.05), "values must be 2 or more, not 1"),
        (mandel_k_limit, (3, 2, 0.0), "alpha must be above 0 and below 1, not 0.0"),
    ],
)
def test_bad_arguments_are_refused(find, arguments, message):
    with pytest.raises(ValueError, match=message):
        find(*arguments)
