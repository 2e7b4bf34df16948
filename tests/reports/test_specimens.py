"""Pieces of the part in a finding: what they were, and whether new ones were new."""

from itertools import combinations

import pytest

from server.blinding.bench_plans import BenchPlan, PlannedSpecimen
from server.blinding.events import Kind
from server.reports.limit_words import PIECE
from server.reports.specimen_words import AGES, FIRST_OF_NEW, NOT_NAMED, PIECES
from server.reports.table_limits import list_table_limits
from server.reports.tables import list_tables
from tests.reports.test_words import FORBIDDEN
from tests.scored_tables import analyse, draw, give_means

OLD = {"label": "cloth 9", "part": "cloth filter", "state": "used", "brews": 40}
NEW = [
    {"label": f"cloth {n}", "part": "cloth filter", "state": "new", "brews": 0} for n in (1, 2, 3)
]


@pytest.fixture
def tell(make_story):
    """Tell a tasting whose brews were made with some pieces: level to (piece, brews before)."""

    def tell_one(planned, right=11, **made):
        story = make_story(bench={"specimens": planned})
        for level, brews in made.items():
            slots = [one.name for one in story.sealed.slots if one.sample == level]
            for slot, (piece, before) in zip(slots, brews, strict=False):
                part = {"part": {"specimen": piece, "brews_before": before}} if piece else {}
                note(story, slot, part)
        return story.taste(right).close().unseal()

    return tell_one


def note(story, slot, brew):
    story.tell(
        Kind.BREWED, slot=slot, tds=["1.3"], temperature_c="55", fill_g="30", time=None, note="",
        brew=brew,
    )  # fmt: skip


def find_limits(story, start):
    return [one for one in story.conclude().limits if one.startswith(start)]


def find_table(story, title):
    return next((one for one in list_tables(story.analyse()) if one.title == title), None)


def test_without_pieces_a_finding_speaks_of_the_pieces_used(make_story):
    story = make_story().taste(11).close().unseal()
    assert PIECE in story.conclude().limits
    assert story.analyse().pieces == ()
    assert find_table(story, PIECES[0]) is None


def test_one_piece_is_called_one_piece(tell):
    story = tell({"B": [OLD]})
    (said,) = find_limits(story, "“flushed cartridge” was brewed with 1 piece (cloth 9)")
    assert "used when sealed and “fresh cartridge” without the part." in said
    assert said.endswith("this one piece, never of a material or a make.")
    assert PIECE not in story.conclude().limits


def test_several_pieces_are_counted(tell):
    story = tell({"A": [OLD], "B": NEW})
    (said,) = find_limits(story, "“fresh cartridge” was brewed with 1 piece (cloth 9)")
    assert "“flushed cartridge” was brewed with 3 pieces (cloth 1, cloth 2, cloth 3)" in said
    assert said.endswith("these 4 pieces, never of a material or a make.")


def test_a_fresh_piece_for_every_brew_is_said_so(tell):
    planned = [NEW[0] | {"label": f"cloth {n}"} for n in range(1, 7)]
    story = tell({"A": planned}, A=[(f"cloth {n}", 0) for n in range(1, 7)])
    assert find_limits(story, "“fresh cartridge” was tested as new: each of its 6 brews")
    assert find_table(story, AGES[0]) is None


def test_a_new_piece_that_brewed_again_is_new_no_more(tell):
    made = [("cloth 1", 0), ("cloth 1", 1), ("cloth 2", 0), ("cloth 2", 1), ("cloth 3", 0),
            ("cloth 3", 1)]  # fmt: skip
    story = tell({"A": NEW}, A=made)
    (said,) = find_limits(story, "“fresh cartridge” was tested as new")
    assert "but 3 of its 6 brews were made with a piece that had made brews before" in said
    assert "pieces in their first 2 brews, not of new ones" in said


def test_brews_of_nobody_knows_which_piece_are_counted(tell):
    story = tell({"A": NEW}, A=[("cloth 1", 0), ("cloth 2", 0)])
    assert find_limits(story, "Which piece made 4 of the 6 brews of “fresh cartridge” was not")
    assert not find_limits(story, "“fresh cartridge” was tested as new")


def test_pieces_in_several_states_are_warned_of(tell):
    story = tell({"A": [NEW[0], OLD]})
    (said,) = find_limits(story, "The pieces of “fresh cartridge” were in different states")
    assert "new and used" in said


def test_every_piece_has_a_row_with_its_first_brew_told_apart(tell):
    table = find_table(tell({"A": NEW[:2]}, A=[("cloth 1", 0), ("cloth 1", 1)]), PIECES[0])
    rows = {row[1]: row for row in table.rows}
    assert rows["cloth 1"][2:] == ("cloth filter", "new", "0", "A1 (its first), A2")
    assert rows["cloth 2"][-1] == ""
    assert rows[NOT_NAMED][-1] == "A3, A4, A5, A6"


def test_right_answers_are_counted_by_the_brews_a_piece_had_made(tell):
    made = [(f"cloth {n}", before) for before in (0, 1, 2) for n in (1, 2)]
    story = tell({"A": NEW}, right=18, A=made)
    table = find_table(story, AGES[0])
    assert [row[1] for row in table.rows] == [FIRST_OF_NEW, "1", "2"]
    assert [row[2] for row in table.rows] == ["2", "2", "2"]
    assert [row[3:] for row in table.rows] == [("6", "6")] * 3


def test_brews_of_pieces_about_as_old_share_a_row(tell):
    made = [("cloth 1", before) for before in (0, 1, 3, 4, 5, 12)]
    table = find_table(tell({"A": NEW[:1]}, A=made), AGES[0])
    assert [row[1:3] for row in table.rows] == [
        (FIRST_OF_NEW, "1"), ("1", "1"), ("3 to 5", "3"), ("12", "1"),
    ]  # fmt: skip


AGING = [("cloth 1", before) for before in range(6)]


def test_right_answers_that_fade_may_be_an_effect_of_first_use(tell):
    story = tell({"A": NEW[:1]}, right=8, A=AGING)
    (said,) = find_limits(story, "Right answers became fewer the more brews")
    assert said.endswith("may be an effect of first use.")
    assert f"exact two-sided p {say_p(deal_out(story))}" in said


def test_right_answers_that_come_later_are_told_as_they_are(make_story):
    story = make_story(bench={"specimens": {"A": NEW[:1]}})
    for slot, (piece, before) in zip(["A1", "A2", "A3", "A4", "A5", "A6"], AGING, strict=True):
        note(story, slot, {"part": {"specimen": piece, "brews_before": before}})
    for serving in story.main:
        story.answer(serving, serving.round == 3)
    assert find_limits(story.close().unseal(), "Right answers became more the more brews")


def test_where_nothing_shows_a_trend_the_number_of_answers_is_told(make_story):
    story = make_story(bench={"specimens": {"A": NEW[:1]}})
    for slot, (piece, before) in zip(["A1", "A2", "A3", "A4", "A5", "A6"], AGING, strict=True):
        note(story, slot, {"part": {"specimen": piece, "brews_before": before}})
    for serving in story.main:
        story.answer(serving, serving.seat < 4)
    (said,) = find_limits(story.close().unseal(), "That right answers went with the brews")
    assert "18 answers may well miss it" in said


def test_answers_that_are_all_right_tell_no_trend(tell):
    assert find_limits(tell({"A": NEW[:1]}, right=18, A=AGING), "Whether right answers went")


def test_fresh_pieces_have_no_trend(tell):
    story = tell({"A": NEW}, A=[(f"cloth {n}", 0) for n in range(1, 7)])
    assert all(one.trend is None for one in story.analyse().pieces)


def deal_out(story):
    """Deal the right answers out in every way, and count how often it comes out as far."""
    slots = dict(zip(["A1", "A2", "A3", "A4", "A5", "A6"], range(6), strict=True))
    key, scores, reached = story.sealed.key, [], 0
    right = {one.id for one in story.main[:8]}
    for serving in story.main:
        ages = [slots[key[cup.id]] for cup in serving.cups if key[cup.id] in slots]
        scores.append(6 * sum(ages) // len(ages))
        reached += scores[-1] * (serving.id in right)
    mean = len(right) * sum(scores) / len(scores)
    sums = [sum(some) for some in combinations(scores, len(right))]
    return sum(abs(one - mean) >= abs(reached - mean) - 1e-9 for one in sums) / len(sums)


def say_p(p):
    return "< 0.0001" if p < 0.0001 else f"= {p:.4f}"


def test_a_used_piece_has_no_rows_of_its_brews(tell):
    assert find_table(tell({"A": [OLD]}, A=[("cloth 9", 40), ("cloth 9", 41)]), AGES[0]) is None


def test_of_two_shots_with_a_new_piece_one_is_its_first(make_story):
    story = make_story(bench={"specimens": {"A": NEW}})
    brew = {"part": {"specimen": "cloth 1", "brews_before": 0}, "shots": 2}
    story.tell(
        Kind.BREWED, slot="A1", tds=[], temperature_c=None, fill_g=None, time=None, note="",
        brew=brew,
    )  # fmt: skip
    (one, _) = story.taste(11).close().unseal().analyse().pieces
    assert (one.brews, one.fresh, one.unknown, one.reused) == (7, 1, 5, 1)


def test_a_brew_of_a_blend_is_counted_by_itself(make_story):
    story = make_story(pots="blend", bench={"specimens": {"A": NEW}})
    (one, _) = story.taste(11).close().unseal().analyse().pieces
    assert (one.brews, one.unknown) == (6, 6)


def test_no_sentence_about_pieces_says_what_no_tasting_can(tell):
    story = tell({"A": NEW, "B": [OLD]}, A=[("cloth 1", 0), ("cloth 1", 1)], B=[("cloth 9", 40)])
    text = " ".join(story.conclude().limits)
    assert not FORBIDDEN.search(text)


def test_a_scored_table_names_its_pieces_too():
    sealed = draw(2)
    bench = BenchPlan(specimens={"A": (PlannedSpecimen(**NEW[0]),)})
    plan = sealed.plan.model_copy(update={"bench": bench})
    sealed = sealed.model_copy(update={"plan": plan})
    means = {"A": 40.0, "B": 60.0}
    limits = list_table_limits(analyse(sealed, give_means(means)))
    assert "“batch A” was brewed with 1 piece (cloth 1), new when sealed" in " ".join(limits)


def test_a_new_piece_that_was_tried_out_is_not_called_new_without_more(tell):
    tried = [NEW[0] | {"brews": 1}, *NEW[1:]]
    said = " ".join(tell({"A": tried}, A=[("cloth 1", 1)]).conclude().limits)
    assert "new when sealed but for 1 brew before that" in said
    said = " ".join(tell({"A": NEW}, A=[("cloth 1", 0)]).conclude().limits)
    assert "before that" not in said


def test_a_scored_table_without_pieces_says_nothing_of_them():
    limits = list_table_limits(analyse(draw(2), give_means({"A": 40.0, "B": 60.0})))
    assert "piece" not in " ".join(limits)
