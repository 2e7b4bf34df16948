import pytest

from server.methods.paired_preference import PAIRED_PREFERENCE


@pytest.mark.parametrize(("first", "second", "counted"), [(4, 6, True), (6, 4, False)])
def test_the_answer_counts_for_the_second_sample_if_it_is_liked_better(first, second, counted):
    assert PAIRED_PREFERENCE.decide([first, second]).item() is counted


def test_a_preference_has_no_distance():
    assert "people may prefer either" in PAIRED_PREFERENCE.model.without_d_prime
