import numpy as np
import pytest

from server.stats.profiles import build_profile, keep_complete
from server.stats.ratings import build_ratings


def rate(cells):
    """Ratings from a mapping of assessor and sample, both a letter, to a value."""
    return build_ratings([x[0] for x in cells], [x[1] for x in cells], list(cells.values()))


def test_attributes_are_put_side_by_side_whoever_rated_them():
    profile = build_profile({"body": rate({"aX": 1, "bY": 2}), "aroma": rate({"cZ": 3})})
    assert (profile.assessors, profile.samples) == (("a", "b", "c"), ("X", "Y", "Z"))
    assert (profile.cells[1, 1, 0], profile.cells[2, 2, 1]) == (2.0, 3.0)
    assert np.isnan(profile.cells).sum() == 15


def test_only_assessors_without_a_gap_are_kept():
    profile = build_profile({"body": rate({"aX": 1, "aY": 2, "bX": 3})})
    kept, left = keep_complete(profile)
    assert (kept.assessors, left, kept.cells.tolist()) == (("a",), ("b",), [[[1.0], [2.0]]])


def test_no_attribute_is_refused():
    with pytest.raises(ValueError, match="ratings must hold one attribute or more, not none"):
        build_profile({})
