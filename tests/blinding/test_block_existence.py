import pytest

from server.blinding.block_counts import BlockCounts, find_counts
from server.blinding.block_existence import Obstacle, Theorem, find_obstacle, find_theorem


def counts(samples: int, size: int, concurrences: int) -> BlockCounts:
    found = find_counts(samples, size, concurrences)
    assert found is not None
    return found


# Designs with whole counts that do not exist; M. Hall, Combinatorial Theory, 2nd ed. (1986),
# table of designs, and the papers named in the module (all from memory).
@pytest.mark.parametrize(
    ("samples", "size", "concurrences", "obstacle"),
    [
        (16, 6, 1, Obstacle.FISHER),
        (21, 6, 1, Obstacle.FISHER),
        (22, 7, 2, Obstacle.SQUARE),
        (46, 10, 2, Obstacle.SQUARE),
        (29, 8, 2, Obstacle.QUADRATIC_FORM),
        (43, 7, 1, Obstacle.QUADRATIC_FORM),
        (67, 12, 2, Obstacle.QUADRATIC_FORM),
        (15, 5, 2, Obstacle.RESIDUAL),
        (21, 6, 2, Obstacle.RESIDUAL),
        (36, 6, 1, Obstacle.RESIDUAL),
        (100, 10, 1, Obstacle.RESIDUAL),
        (111, 11, 1, Obstacle.SEARCHED),
        (46, 6, 1, Obstacle.SEARCHED),
        (22, 8, 4, Obstacle.SEARCHED),
    ],
)
def test_designs_known_not_to_exist_have_their_obstacle(
    samples: int, size: int, concurrences: int, obstacle: Obstacle
) -> None:
    assert find_obstacle(counts(samples, size, concurrences)) == obstacle


# Designs known to exist, some just beside those above (same table, from memory).
@pytest.mark.parametrize(
    ("samples", "size", "concurrences"),
    [
        (7, 3, 1),
        (16, 6, 2),
        (37, 9, 2),
        (56, 11, 2),
        (79, 13, 2),
        (25, 9, 3),
        (45, 12, 3),
        (71, 15, 3),
        (19, 9, 4),
        (23, 11, 5),
        (28, 7, 2),
        (10, 4, 2),
        (36, 15, 6),
        (15, 5, 4),
        (133, 12, 1),
    ],
)
def test_designs_known_to_exist_have_no_obstacle(
    samples: int, size: int, concurrences: int
) -> None:
    assert find_obstacle(counts(samples, size, concurrences)) is None


# Bruck and Ryser 1949: no planes of order 6, 14, 21, 22; order 10 fell to a computer (1989).
def test_planes_up_to_order_25_are_those_not_ruled_out() -> None:
    ruled_out = [n for n in range(2, 26) if find_obstacle(counts(n * n + n + 1, n + 1, 1))]
    assert ruled_out == [6, 10, 14, 21, 22]


@pytest.mark.parametrize(("samples", "size", "concurrences"), [(15, 5, 2), (22, 7, 2), (22, 8, 4)])
def test_what_a_missing_design_leaves_out_is_missing_too(
    samples: int, size: int, concurrences: int
) -> None:
    design = counts(samples, size, concurrences)
    assert find_obstacle(design.complement) == find_obstacle(design)


def test_leaving_out_one_sample_or_none_is_always_possible() -> None:
    assert find_obstacle(counts(9, 8, 7)) is None
    assert find_obstacle(counts(9, 9, 1)) is None


# Hanani 1975 (from memory).
@pytest.mark.parametrize(
    ("samples", "size", "concurrences", "theorem"),
    [
        (61, 5, 1, Theorem.HANANI),
        (28, 4, 1, Theorem.HANANI),
        (13, 9, 6, Theorem.COMPLEMENT),
        (51, 6, 1, None),
    ],
)
def test_small_blocks_exist_by_theorem(
    samples: int, size: int, concurrences: int, theorem: Theorem | None
) -> None:
    assert find_theorem(counts(samples, size, concurrences)) == theorem
