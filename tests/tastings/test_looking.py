"""The look-only check of a draft."""

from fractions import Fraction
from math import comb

import pytest

from server.blinding.plans import Plan
from server.blinding.seal import read_sealed
from server.storage import queries, tables
from server.storage.key import read_sealed_text
from server.tastings.drafts import change_draft
from server.tastings.looking import LOOKS, draw_looks, record_looks
from server.tastings.refusals import Invalid, NotFound, WrongState
from server.tastings.sealing import seal_tasting


def pick(places, cue=""):
    return {f"look{at}": str(place) for at, place in enumerate(places, 1)} | {"cue": cue}


def plan_of(bench, tasting_id):
    with bench.reading() as db:
        return Plan.model_validate(db.get_one(tables.Tasting, tasting_id).plan)


def test_six_odd_cups_are_drawn(bench, draft):
    odd = draw_looks(bench, draft).odd
    assert len(odd) == LOOKS
    assert set(odd) <= {1, 2, 3}


def test_drawing_again_before_counting_keeps_the_draw(bench, draft):
    assert draw_looks(bench, draft) == draw_looks(bench, draft)


def test_every_odd_cup_found_is_counted(bench, draft):
    odd = draw_looks(bench, draft).odd
    assert record_looks(bench, draft, pick(odd, "foam")).found == LOOKS


def test_missed_odd_cups_are_not(bench, draft):
    odd = draw_looks(bench, draft).odd
    assert record_looks(bench, draft, pick([one % 3 + 1 for one in odd])).found == 0


@pytest.mark.parametrize("missing", ["look1", "look6"])
def test_a_row_without_a_pick_is_asked_for(bench, draft, missing):
    form = pick(draw_looks(bench, draft).odd)
    del form[missing]
    with pytest.raises(Invalid, match="Pick one cup of every row"):
        record_looks(bench, draft, form)


@pytest.mark.parametrize("nonsense", ["0", "4", "left", ""])
def test_a_cup_that_is_not_there_is_refused(bench, draft, nonsense):
    with pytest.raises(Invalid):
        record_looks(bench, draft, pick(draw_looks(bench, draft).odd) | {"look2": nonsense})


def test_nothing_is_counted_before_it_is_drawn(bench, draft):
    with pytest.raises(NotFound):
        record_looks(bench, draft, pick([1] * LOOKS))


def test_a_counted_check_is_sealed_with_the_plan(bench, draft):
    counted = record_looks(bench, draft, pick(draw_looks(bench, draft).odd, "foam"))
    seal_tasting(bench, draft)
    with bench.reading() as db:
        assert read_sealed(read_sealed_text(db, draft)).plan.look_check == counted


def test_an_unfinished_check_is_not_sealed(bench, draft):
    draw_looks(bench, draft)
    seal_tasting(bench, draft)
    with bench.reading() as db:
        layout = queries.load_layout(db, db.get_one(tables.Tasting, draft))
    assert layout.plan.look_check is None


def test_changing_the_plan_keeps_the_check(bench, draft, plan_input):
    counted = record_looks(bench, draft, pick(draw_looks(bench, draft).odd))
    change_draft(bench, draft, plan_input(rounds="2"))
    assert plan_of(bench, draft).look_check == counted


def test_a_sealed_plan_is_not_looked_at_again(bench, draft):
    seal_tasting(bench, draft)
    with pytest.raises(WrongState):
        draw_looks(bench, draft)


# Exact binomial tail at one third: 13 of 729. The page says 18 in 1000.
def test_five_of_six_would_hardly_be_chance():
    ways = sum(comb(LOOKS, k) * 2 ** (LOOKS - k) for k in (5, 6))
    assert Fraction(ways, 3**LOOKS) == Fraction(13, 729)
    assert round(1000 * 13 / 729) == 18
