"""Labels to cut out: every code once a bowl, by rising number, and nothing else."""

import re

import pytest

from server.tastings.striking import strike_off

LABEL = re.compile(r"<li><small>([^<]*)</small><strong>(\d{3})</strong><span[^>]*>([^<]*)</span>")


@pytest.fixture
def shared(make_table):
    return make_table(style="shared", bowls="3", sittings="2", warm_up="B")


@pytest.fixture
def own(make_table):
    return make_table(bowls="2", assessors="3", spare_seats="1")


def open_labels(leader, made):
    answer = leader.get(f"/tastings/{made.id}/paper/labels")
    assert answer.status_code == 200
    return answer.text


def find_labels(page):
    return [(code, bowl) for _, code, bowl in LABEL.findall(page)]


def list_cups(made, seat=None):
    servings = (one for one in made.sealed.servings if seat in (None, one.seat))
    cups = {(s.sitting, c.code, c.bowl) for s in servings for c in s.cups}
    return [(code, f"bowl {bowl}" if bowl else "") for _, code, bowl in sorted(cups)]


def test_every_shared_bowl_has_one_label_whatever_the_number_of_seats(leader, shared):
    assert find_labels(open_labels(leader, shared)) == list_cups(shared)


def test_labels_rise_by_number_within_a_sitting(leader, shared):
    first = open_labels(leader, shared).split("<article")[1]
    codes = [code for code, _ in find_labels(first)]
    assert codes == sorted(codes)


def test_cups_of_ones_own_are_labelled_seat_by_seat(leader, own):
    groups = open_labels(leader, own).split("group-head")[1:]
    found = [find_labels(one) for one in groups]
    assert found == [list_cups(own, seat) for seat in range(1, 5)]


def test_a_label_says_nothing_but_code_bowl_and_the_neutral_name(leader, shared):
    page = open_labels(leader, shared)
    names = {name for name, *_ in LABEL.findall(page)}
    assert page.count("<li>") == len(find_labels(page))
    assert len(names) == 1
    labels = [one.label for one in shared.sealed.samples]
    assert [one for one in (*labels, "Is the new batch like the last?") if one in page] == []


def test_no_byte_of_the_labels_depends_on_the_key(leader, bench, shared):
    """The page is made of the layout alone: it opens where the key is out of reach."""
    before = open_labels(leader, shared)
    with bench.engine.begin() as db:
        db.exec_driver_sql("PRAGMA foreign_keys = OFF")
        db.exec_driver_sql("DROP TABLE cuptruth")
    assert open_labels(leader, shared) == before


def test_a_seat_that_was_struck_off_has_no_labels(leader, bench, own):
    strike_off(bench, own.id, "2", "called in ill")
    assert ">Seat 2<" not in open_labels(leader, own)


def test_a_triad_has_mats_instead(leader, home):
    assert leader.get(f"{home}/paper/labels").status_code == 404


def test_nobody_else_prints_them(stranger, shared):
    assert stranger.get(f"/tastings/{shared.id}/paper/labels").status_code == 404


def test_the_way_to_the_labels_is_among_what_to_print(leader, shared):
    page = leader.get(f"/tastings/{shared.id}/paper").text
    assert f'href="/tastings/{shared.id}/paper/labels"' in page
