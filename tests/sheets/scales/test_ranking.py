import pytest

from server.sheets.scales.base import InvalidValue
from server.sheets.scales.ranking import A_PLACE, Ranking
from server.stats.rankings import build_rankings

CODES = ("385", "417", "926")
STRICT = Ranking(first="sweetest", last="least sweet")
TIES = STRICT.model_copy(update={"ties": True})


def test_codes_are_kept_in_the_order_of_their_places() -> None:
    assert STRICT.parse({"385": "3", "417": "1", "926": "2"}, CODES) == [["417"], ["926"], ["385"]]


def test_a_skipped_place_makes_no_difference() -> None:
    assert STRICT.parse({"385": "7", "417": "1", "926": "4"}, CODES) == [["417"], ["926"], ["385"]]


def test_ties_are_refused_where_the_sheet_does_not_allow_them() -> None:
    with pytest.raises(InvalidValue, match="417: Two codes have the same place"):
        STRICT.parse({"385": "1", "417": "1", "926": "2"}, CODES)


def test_tied_codes_share_the_mean_of_their_ranks() -> None:
    value = TIES.parse({"385": "1", "417": "2", "926": "2"}, CODES)
    assert TIES.rank(value) == {"385": 1.0, "417": 2.5, "926": 2.5}


def test_ranks_are_what_the_analysis_of_rankings_takes() -> None:
    value = TIES.parse({"385": "1", "417": "2", "926": "2"}, CODES)
    ranks = [TIES.rank(value)[code] for code in CODES]
    assert build_rankings([ranks]).rank_sums() == (1.0, 2.5, 2.5)


def test_an_order_begun_says_that_codes_are_left() -> None:
    value = STRICT.parse({"417": "1", "385": ""}, CODES)
    assert (value, STRICT.find_gap(value, CODES)) == ([["417"]], A_PLACE)


@pytest.mark.parametrize(
    "value",
    [[["111"]], [["385"], ["385"]], [[]], [], [["417", "385"]], "385", [["385", 417]]],
    ids=["another code", "twice", "no code", "nothing", "unsorted", "text", "a number"],
)
def test_what_is_no_order_of_these_codes_is_refused(value: object) -> None:
    with pytest.raises(InvalidValue):
        TIES.check(value, CODES)
