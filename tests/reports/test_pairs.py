"""A directional pair, of a panel and alone: which of two cups has more of what was named.

Critical numbers: 18 pairs need 13 right, 12 need 10 (binomial with 1/2; ISO 5495 table for
one-sided tests, from memory, and by exact sums in the statistics' own tests).
"""

import pytest

from server.reports.tables import list_tables

BITTER = {"attribute": "bitter", "more": "B"}
PAIR = {"method": "2-afc", "direction": BITTER, "pots": "blend"}
ALONE = PAIR | {"size_d_prime": "1.5", "size_share": None}


def whole(make_alone, *right, **changes):
    story = make_alone(**ALONE | {"sittings": len(right)} | changes).brew().sit_all(*right)
    return story.close().unseal()


def said(finding):
    lists = (finding.may_say, finding.limits, finding.next_steps)
    return " ".join((finding.headline, *(line for lines in lists for line in lines)))


def test_right_is_the_cup_of_the_sample_that_was_said_to_have_more(make_alone):
    for more in "AB":
        story = whole(make_alone, 3, 3, 2, direction=BITTER | {"more": more})
        assert (story.analyse().main.correct, story.analyse().main.trials) == (8, 9)


def test_guessing_finds_it_in_one_of_two(make_alone):
    analysis = whole(make_alone, 3, 3, 3, 2, 1, 1).analyse()
    assert (analysis.counts.chance, analysis.counts.critical, analysis.main.correct) == (
        0.5,
        13,
        13,
    )


def test_alone_a_pair_has_its_d_prime(make_alone):
    # 2-AFC: d′ = √2 z(pc); 13 of 18: √2 × .5895 = .834 (normal table).
    assert whole(make_alone, 3, 3, 3, 2, 1, 1).analyse().counts.d_prime == pytest.approx(
        0.834, abs=2e-3
    )


def test_a_pair_never_speaks_of_an_odd_cup_or_of_triads(make_alone):
    for right in ((3, 3, 3, 3), (2, 1, 2, 1), (0, 0, 0, 0)):
        finding = whole(make_alone, *right).conclude()
        assert "odd cup" not in said(finding)
        assert "triad" not in said(finding)


def test_what_was_named_is_said_to_have_been_picked(make_alone):
    finding = whole(make_alone, 3, 3, 3, 3).conclude()
    assert "the cup with more “bitter” was picked in 12 of 12 servings" in said(finding)
    assert "“flushed cartridge” was taken for the one with more of it: “bitter”." in finding.may_say


def test_positions_are_those_of_the_cup_with_more(make_alone):
    tables = {one.name: one for one in list_tables(whole(make_alone, 3, 3).analyse())}
    assert tables["positions"].head[2] == "Right cup stood here"
    assert sum(int(row[2]) for row in tables["positions"].rows) == 6
    assert [row[0] for row in tables["orders"].rows] == ["AB", "BA"]


def test_one_pot_of_each_tells_two_pots_apart(make_alone):
    story = whole(make_alone, 12, rounds=12, pots="single", pot_ml="900")
    finding = story.conclude()
    assert finding.verdict == "told_apart_pots"
    assert "all cups of a sample came from one brew" in said(finding)


def test_controls_are_looked_for_in_a_triangle_test(make_alone):
    told, missed = whole(make_alone, 3, 3, 3, 3), whole(make_alone, *(2, 1) * 12)
    assert "two brews of one sample against each other in a triangle test" in said(told.conclude())
    assert "In a triangle test, find out whether" in said(missed.conclude())


def test_a_panel_of_pairs_is_read_likewise(make_story):
    story = make_story(**PAIR)
    for number, serving in enumerate(story.main):
        samples = [story.sealed.key[cup.id][0] for cup in serving.cups]
        pick = serving.codes[samples.index("B" if number < 13 else "A")]
        story.tell_pick(serving, pick)
    analysis = story.close().unseal().analyse()
    assert (analysis.main.correct, analysis.main.trials, analysis.main.detected) == (13, 18, True)
    assert "the cup with more “bitter” was picked in 13 of 18" in said(story.conclude())
