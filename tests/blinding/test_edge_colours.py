from collections import Counter
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.blinding.edge_colours import colour_edges

EDGES = st.lists(st.tuples(st.integers(0, 5), st.integers(0, 5)), max_size=40)


def busiest(edges: list[tuple[int, int]]) -> int:
    ends = Counter(end for left, right in edges for end in ((0, left), (1, right)))
    return max(ends.values(), default=0)


# König 1916: a graph with two sides needs no more colours than links meet at a vertex.
@given(EDGES, st.integers())
def test_no_two_links_of_a_colour_meet(edges: list[tuple[int, int]], seed: int) -> None:
    colours = colour_edges(edges, max(1, busiest(edges)), Random(seed))
    met = Counter(
        (side, end, colour)
        for edge, colour in zip(edges, colours, strict=True)
        for side, end in enumerate(edge)
    )
    assert max(met.values(), default=1) == 1


@given(EDGES, st.integers(0, 3), st.integers())
def test_every_link_gets_one_of_the_colours(
    edges: list[tuple[int, int]], more: int, seed: int
) -> None:
    many = busiest(edges) + more
    assert all(0 <= colour < many for colour in colour_edges(edges, many, Random(seed)))


def test_too_few_colours_are_refused() -> None:
    with pytest.raises(ValueError, match="colours must be at least 2, got 1"):
        colour_edges([("a", "x"), ("a", "y")], 1, Random(1))
