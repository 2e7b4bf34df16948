"""Lines of one ratio in a picture of strength against extraction."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.brewing.chart import REGIONS, Region, find_strength_on_line
from server.brewing.extraction import Brewer, find_extraction_yield


# Computed: at 55 g/L, with 2 g of water kept a gram.
@pytest.mark.parametrize(("extraction", "strength"), [(18, 1.11), (20, 1.24), (22, 1.36)])
def test_strengths_of_a_drip_at_one_ratio(extraction: float, strength: float) -> None:
    found = find_strength_on_line(Brewer.PERCOLATION, 1000 / 55, extraction)
    assert found == pytest.approx(strength, abs=0.005)


@given(st.floats(5, 30), st.floats(1, 30), st.floats(0, 4))
def test_a_point_on_a_percolations_line_has_its_yield(
    ratio: float, extraction: float, retained: float
) -> None:
    strength = find_strength_on_line(Brewer.PERCOLATION, ratio, extraction, retained)
    found = find_extraction_yield(
        Brewer.PERCOLATION, dose_g=1, strength=strength, beverage_g=ratio - retained
    )
    assert found.percent == pytest.approx(extraction)


@given(st.floats(5, 30), st.floats(1, 30))
def test_a_point_on_an_immersions_line_has_its_yield(ratio: float, extraction: float) -> None:
    strength = find_strength_on_line(Brewer.IMMERSION, ratio, extraction)
    found = find_extraction_yield(Brewer.IMMERSION, dose_g=1, strength=strength, water_g=ratio)
    assert found.percent == pytest.approx(extraction)


@pytest.mark.parametrize(
    ("how", "ratio", "extraction"),
    [(Brewer.PERCOLATION, 2, 20), (Brewer.IMMERSION, 0, 20), (Brewer.MIXED, 15, 20),
     (Brewer.IMMERSION, 15, 101)],
)  # fmt: skip
def test_lines_that_are_none_are_refused(how: Brewer, ratio: float, extraction: float) -> None:
    with pytest.raises(ValueError, match="must"):
        find_strength_on_line(how, ratio, extraction)


def test_every_region_names_its_source_and_none_is_called_the_standard() -> None:
    assert all(one.source and "standard" not in one.name.lower() for one in REGIONS)


@pytest.mark.parametrize("ends", [(1.4, 1.2, 18, 22), (1.2, 1.4, 22, 18), (-1, 1.4, 18, 22)])
def test_a_region_upside_down_is_refused(ends: tuple[float, float, float, float]) -> None:
    with pytest.raises(ValueError, match="must lie below"):
        Region("Mine", *ends, source="invented")
