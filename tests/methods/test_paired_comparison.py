import pytest

from server.methods.paired_comparison import PAIRED_COMPARISON


@pytest.mark.parametrize(("first", "second", "counted"), [(0, 1, True), (1, 0, False)])
def test_the_answer_counts_for_the_second_sample_if_it_seems_stronger(first, second, counted):
    assert PAIRED_COMPARISON.decide([first, second]).item() is counted
