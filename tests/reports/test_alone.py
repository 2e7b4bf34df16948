"""What a tasting alone supports: numbers by hand, exact sums, and the words of its finding.

Critical numbers of the triangle test: 18 triads need 10 right (ISO 4120:2021, table A.1, from
memory); p by exact sums, here.
"""

from fractions import Fraction
from math import comb

import pytest

from server.blinding.events import Kind
from server.reports.exports import render_text, report_tasting
from server.reports.tables import list_tables

DIRECTION = {"attribute": "bitter", "more": "B"}


def tail(k, n):
    """Chance of k or more right of n by guessing one of three, by plain counting."""
    return float(sum(Fraction(comb(n, j) * 2 ** (n - j), 3**n) for j in range(k, n + 1)))


def whole(make_alone, *right, **changes):
    return make_alone(**changes).brew().sit_all(*(right or (2, 2, 2, 2, 1, 1)))


def end(story, **close):
    return story.close(**close).unseal()


def value(finding, name):
    return next(line.value for line in finding.numbers if line.name == name)


def readings(story):
    return {one.name: (one.correct, one.trials) for one in story.analyse().alternatives}


def said(finding):
    return " ".join((finding.headline, *finding.may_say, *finding.limits, *finding.amendments))


def test_every_sitting_counts_and_p_is_the_exact_one(make_alone):
    main = end(whole(make_alone)).analyse().main
    assert (main.correct, main.trials) == (10, 18)
    assert main.p_value == pytest.approx(tail(10, 18), abs=1e-12)


def test_its_blinding_level_is_1_with_a_helper_too_and_0_if_cups_were_known(make_alone):
    levels = [
        end(whole(make_alone), pourer=pourer).conclude().blinding_level
        for pourer in ("alone", "absent", "present", "taster")
    ]
    assert levels == [1, 1, 1, 0]


def test_a_finding_alone_speaks_of_one_person(make_alone):
    finding = end(whole(make_alone, 3, 2, 2, 2, 1, 1)).conclude()
    assert finding.headline.startswith("This one taster told")
    assert "“I could tell them apart in these conditions.”" in finding.may_say
    assert "Anything about other people or customers." in finding.may_not_say
    assert value(finding, "people") == "1 taster, 18 triads in 6 sittings on 6 days"


def test_whoever_knew_the_odd_sample_has_no_d_prime(make_alone):
    finding = end(whole(make_alone)).conclude()
    assert value(finding, "d_prime").startswith("none: which sample was odd was known")
    assert value(finding, "size") == "50% noticing"
    assert any(one.startswith("Whoever pours a triad knows") for one in finding.limits)


def test_with_the_direction_known_too_d_prime_is_that_of_a_3_afc(make_alone):
    # 3-AFC: 12 of 18 right, pc .667, d′ 1.1 in printed tables (from memory of Ennis 1993); the
    # inverse of the integral of φ(x − d′) Φ(x)², computed with scipy here.
    from scipy.integrate import quad
    from scipy.optimize import brentq
    from scipy.stats import norm

    def pc(d):
        return quad(lambda x: norm.pdf(x - d) * norm.cdf(x) ** 2, -12, 12 + d)[0]

    story = end(whole(make_alone, 2, 2, 2, 2, 2, 2, direction=DIRECTION))
    expected = brentq(lambda d: pc(d) - 12 / 18, 0, 5)
    assert story.analyse().counts.d_prime == pytest.approx(expected, abs=1e-5)
    assert any("those of a 3-AFC test" in one for one in story.conclude().limits)


def test_orders_are_told_as_they_fell(make_alone):
    story = end(whole(make_alone))
    fallen = ["".join(slot[0] for slot in slots) for slots in story.under.values()]
    shown = ", ".join(
        f"{order} {fallen.count(order)}" for order in ("AAB", "ABA", "BAA", "BBA", "BAB", "ABB")
    )
    assert (
        f"Serving orders are those that the shuffling let fall: {shown}." in story.conclude().limits
    )
    assert sum(one.served for one in story.analyse().orders) == 18


def test_a_lost_mark_takes_its_answer_out_and_is_never_guessed(make_alone):
    story = make_alone(sittings=1).brew()
    for serving in story.sitting(1):
        story.lock(serving, True)
    story.turn(1, lost=[story.sitting(1)[0].id])
    analysis = end(story).analyse()
    assert (analysis.main.correct, analysis.main.trials, analysis.alone.lost) == (2, 2, 1)
    assert "One mark was lost: its answer cannot be judged, and is not counted." in said(
        story.conclude()
    )


def test_a_lost_mark_is_bounded_by_two_readings(make_alone):
    story = make_alone(sittings=1).brew()
    for serving in story.sitting(1):
        story.lock(serving, True)
    end(story.turn(1, lost=[story.sitting(1)[0].id]))
    assert readings(story) == {"lost_wrong": (2, 3), "lost_right": (3, 3)}


def test_a_finding_that_hangs_on_a_lost_mark_says_so(make_alone):
    # 9 of 17: p .0755; the lost answer was right: 10 of 18, p .0433; wrong: 9 of 18 (exact sums).
    story = make_alone().brew().sit_all(2, 2, 2, 1, 1)
    story.tell(Kind.PREPARED, sitting=6)
    for at, serving in enumerate(story.sitting(6)):
        story.lock(serving, at < 2)
    end(story.turn(6, lost=[story.sitting(6)[0].id]))
    assert readings(story) == {"lost_wrong": (9, 18), "lost_right": (10, 18)}
    assert any(one.startswith("The outcome depends on") for one in story.conclude().limits)


def test_an_incomplete_plan_with_lost_marks_alone_still_holds(make_alone):
    story = make_alone(sittings=1).brew()
    for serving in story.sitting(1):
        story.lock(serving, True)
    finding = end(story.turn(1, lost=[story.sitting(1)[0].id])).conclude()
    assert (
        "Incomplete: 2 of 3 planned answers count; of the others a mark was lost." in finding.limits
    )
    assert any("so the exact p holds for 2 answers" in one for one in finding.limits)


def test_marks_entered_again_count_as_last_entered_and_are_read_both_ways(make_alone):
    story = whole(make_alone)
    first = story.sitting(1)[0]
    order = story.under[first.id]
    odd = next(slot for slot in order if order.count(slot) == 1)
    like = next(slot for slot in order if slot != odd)
    place = order.index(odd)
    story.under[first.id] = tuple(
        odd if at == (place + 1) % 3 else like for at in range(3)
    )  # turned again: the odd cup was another one
    end(story.turn(1))
    assert story.analyse().main.correct == 9
    assert readings(story) == {"marks_first": (10, 18)}
    assert any(
        "The marks of sitting 1 were corrected" in one for one in story.conclude().amendments
    )


def test_a_photo_taken_later_corrects_nothing(make_alone):
    story = whole(make_alone)
    end(story.turn(1, photo="ab" * 32))
    assert story.analyse().alone.corrected == ()
    assert readings(story) == {}


def test_shuffles_too_short_and_not_timed_are_told(make_alone):
    story = make_alone(sittings=1).brew()
    for serving, seconds in zip(story.sitting(1), (19, None, 20), strict=True):
        story.lock(serving, True, seconds=seconds)
    finding = end(story.turn(1)).conclude()
    assert "In 1 serving the shuffle was shorter than 20 seconds." in finding.limits
    assert "In 1 serving nobody timed the shuffle." in finding.limits


def test_an_answer_without_a_shuffle_on_record_is_told(make_alone):
    story = make_alone(sittings=1, rounds=1)
    end(story.answer(story.sitting(1)[0], True).turn(1))
    assert story.analyse().alone.unshuffled == 1
    assert "For 1 serving no shuffle is on record." in story.conclude().limits


def test_a_sitting_whose_marks_nobody_covered_is_told(make_alone):
    story = make_alone(sittings=1, rounds=1)
    end(story.lock(story.sitting(1)[0], True).turn(1))
    assert "In sitting 1 nobody noted that the marks were covered." in story.conclude().limits


def test_stopping_when_nothing_was_turned_is_incomplete_and_valid(make_alone):
    story = make_alone().brew()
    for serving in story.sitting(1):
        story.lock(serving, True)
    story.close("no more tea").turn(1)
    assert story.unseal().analyse().exploratory == ()


def test_stopping_when_marks_were_turned_is_exploratory(make_alone):
    finding = end(make_alone().brew().sit_all(3, 3), reason="clear enough").conclude()
    assert finding.verdict == "exploratory"
    assert "a part of the result was known" in finding.headline


def test_giving_up_the_rest_just_before_closing_is_stopping_too(make_alone):
    story = make_alone(sittings=2).brew().sit(1, 3)
    first, *rest = story.sitting(2)
    story.lock(first, True)
    for serving in rest:
        story.void(serving.id)
    story.close("clear enough").turn(2)
    assert story.unseal().analyse().exploratory == ("stopped_knowing",)


def test_giving_up_a_whole_sitting_is_stopping_too(make_alone):
    story = make_alone(sittings=3).brew().sit(1, 3)
    for serving in story.sitting(2):
        story.void(serving.id)
    end(story.sit(3, 3), reason="tired")
    assert story.analyse().exploratory == ("stopped_knowing",)


def test_a_spilt_cup_is_no_stopping_and_is_read_as_a_miss_as_well(make_alone):
    story = make_alone(sittings=2).brew().sit(1, 3)
    first, *rest = story.sitting(2)
    story.void(first.id)
    for serving in rest:
        story.lock(serving, True)
    end(story.turn(2), reason="one cup was spilt")
    assert story.analyse().exploratory == ()
    assert readings(story) == {"given_up_wrong": (5, 6)}


def test_a_cup_spilt_before_any_mark_was_turned_needs_no_second_reading(make_alone):
    story = make_alone(sittings=1).brew()
    first, *rest = story.sitting(1)
    story.void(first.id)
    for serving in rest:
        story.lock(serving, True)
    end(story.turn(1), reason="one cup was spilt")
    assert readings(story) == {}


def test_more_of_the_same_is_exploratory_and_never_added_up(make_alone):
    finding = end(whole(make_alone, 3, 3, 3, 3, 3, 3, extends="ab" * 32)).conclude()
    assert finding.verdict == "exploratory"
    assert "(seal abab abab abab abab)" in finding.headline
    assert "That these answers and those of the earlier tasting add up." in finding.may_not_say


def test_a_look_at_marks_already_answered_is_exploratory(make_alone):
    story = make_alone(sittings=1).brew()
    for serving in story.sitting(1):
        story.lock(serving, True)
    story.tell(Kind.RESULTS_LOOKED, how="a mark came off")
    assert end(story.turn(1)).analyse().exploratory == ("results_look",)


def test_the_sittings_are_tabulated_by_day(make_alone):
    story = make_alone(sittings=2).brew().sit(1, 2).sit(2, 1)
    table = next(one for one in list_tables(end(story).analyse()) if one.name == "sittings")
    assert table.rows == (
        ("1", "2031-05-14", "3", "3", "2", "0", "no"),
        ("2", "2031-05-15", "3", "3", "1", "0", "no"),
    )


def test_pots_are_tabulated_by_sitting(make_alone):
    table = list_tables(end(whole(make_alone)).analyse())[0]
    assert (table.head[0], [row[0] for row in table.rows]) == ("Sitting", list("112233445566"))


def test_a_photo_is_told_by_its_sitting(make_alone):
    story = make_alone(sittings=1, rounds=1)
    end(story.lock(story.sitting(1)[0], True).turn(1, photo="ab" * 32))
    assert "Of sitting 1 a photo of the turned cups is on record." in said(story.conclude())


def test_a_room_with_one_person_is_asked_for_no_silence(make_alone):
    assert end(whole(make_alone)).analyse().unchecked == ("roaster_off", "no_smell")


def test_one_pot_for_the_like_cups_tells_pots_apart(make_alone):
    story = end(whole(make_alone, 3, 3, 2, 2, 2, 2, pots="single", pot_ml="900"))
    assert story.conclude().verdict == "told_apart_pots"


def test_controls_are_asked_of_a_helper(make_alone):
    found = end(whole(make_alone, 3, 3, 2, 2, 2, 2)).conclude()
    missed = end(whole(make_alone, 1, 1, 1, 1, 1, 1)).conclude()
    assert any(one.startswith("With a helper who pours, serve a null") for one in found.next_steps)
    assert any(one.startswith("With a helper who pours, serve a pos") for one in missed.next_steps)


def test_a_finding_alone_is_plain_data_and_plain_text(make_alone):
    story = end(whole(make_alone))
    assert report_tasting(story.analyse())["analysis"]["alone"]["sittings"][5]["lost"] == 0
    assert "solo, shuffled" in render_text(story.conclude())


def test_of_any_other_tasting_nothing_is_said_alone(tell_whole):
    analysis = tell_whole(9).analyse()
    assert analysis.alone is None
    assert "sittings" not in {one.name for one in list_tables(analysis)}
