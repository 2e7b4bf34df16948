from collections import Counter

import pytest

from server.blinding.difference_sets import find_difference_set


# Singer 1938 (planes of prime order, t = q² + q + 1), and the squares modulo a prime that is
# 3 modulo 4 (Paley 1933): both from memory, that a set is one is recounted here.
@pytest.mark.parametrize(
    ("samples", "size", "concurrences"),
    [(q * q + q + 1, q + 1, 1) for q in (2, 3, 4, 5, 7, 8, 9, 11)]
    + [(p, (p - 1) // 2, (p - 3) // 4) for p in (7, 11, 19, 23, 31, 43)]
    + [(15, 7, 3), (37, 9, 2), (40, 13, 4)],
)
def test_known_difference_sets_are_found(samples: int, size: int, concurrences: int) -> None:
    found = find_difference_set(samples, size, concurrences)
    assert found is not None
    counts = Counter((one - other) % samples for one in found for other in found if one != other)
    assert counts == dict.fromkeys(range(1, samples), concurrences)
    assert len(found) == size


# There is a design with these counts, and none around a circle (from memory).
def test_sixteen_samples_in_blocks_of_six_do_not_go_around_a_circle() -> None:
    assert find_difference_set(16, 6, 2) is None


def test_a_plane_that_does_not_exist_is_not_found() -> None:
    assert find_difference_set(43, 7, 1) is None
