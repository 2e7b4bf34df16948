import pytest
from sqlalchemy import text

from server.blinding.seal import seal_hash
from server.reports.verdicts import Verdict
from server.tastings.closing import abandon_tasting, look_at_key, settle_contest, unseal_tasting
from server.tastings.concluding import Spoilt, StillSealed, draw_conclusion, open_key


@pytest.fixture
def conclude(bench, led):
    return lambda play: draw_conclusion(bench, led(play))


def test_a_sealed_tasting_has_no_conclusion(play, conclude):
    for ahead in (lambda: None, lambda: play.answer(1), play.close):
        ahead()
        with pytest.raises(StillSealed):
            conclude(play)


def test_a_sealed_key_stays_shut(bench, play, led):
    with pytest.raises(StillSealed):
        open_key(bench, led(play))


def test_a_recorded_look_opens_the_key_but_draws_no_conclusion(bench, play, led, conclude):
    look_at_key(bench, play.made.id, "away", "a guest is ill")
    assert open_key(bench, led(play)).key == play.made.sealed.key
    with pytest.raises(StillSealed):
        conclude(play)


def test_ten_of_eighteen_reach_the_level(play, conclude):
    # 10 is the critical number for 18 at 5 % in ISO 4120:2021 table A.1 (from memory; also
    # printed in the FAO Manual of food quality control, app. A, retrieved).
    play.fill(right=10)
    play.unseal()
    analysis = conclude(play).analysis
    assert (analysis.main.trials, analysis.main.correct) == (18, 10)
    assert analysis.main.p_value < 0.05


def test_nine_of_eighteen_do_not(play, conclude):
    play.fill(right=9)
    play.unseal()
    assert conclude(play).analysis.main.p_value > 0.05


def test_the_text_is_the_sealed_one(play, conclude):
    play.unseal()
    assert seal_hash(conclude(play).text) == play.made.seal


def test_a_settled_contest_counts_as_it_was_settled(bench, play, conclude):
    settle_contest(bench, play.made.id, play.contest(1), "1")
    play.unseal()
    main = conclude(play).analysis.main
    assert (main.trials, main.correct) == (1, 1)


def test_a_late_answer_is_outside_the_main_reading(play, conclude):
    play.answer(1)
    play.close()
    play.answer(2)
    unseal_tasting(play.bench, play.made.id)
    play.answer(3)
    assert conclude(play).analysis.main.trials == 1


def test_an_abandoned_tasting_has_no_finding(bench, play, conclude):
    play.answer(1)
    abandon_tasting(bench, play.made.id, "the kettle broke")
    unseal_tasting(bench, play.made.id)
    assert conclude(play).finding.verdict == Verdict.ABANDONED


def test_a_tasting_nobody_answered_has_no_numbers(play, conclude):
    play.unseal()
    assert conclude(play).analysis.counts is None


@pytest.mark.parametrize(
    ("who", "level"), [("taster", 0), ("present", 2), ("away", 3), (None, 3)]
)  # fmt: skip
def test_an_early_look_caps_the_blinding_level(bench, play, conclude, who, level):
    if who:
        look_at_key(bench, play.made.id, who, "a guest is ill")
    play.answer(1)
    play.unseal()
    assert conclude(play).finding.blinding_level == level


def test_who_really_poured_decides_the_blinding_level(play, conclude):
    play.answer(1)
    play.close(pourer="taster")
    unseal_tasting(play.bench, play.made.id)
    assert conclude(play).finding.blinding_level == 0


def spoil(bench, statement):
    with bench.writing() as db:
        db.connection().execute(text("DROP TRIGGER seal_sealed_update"))
        db.connection().execute(text(statement))
        db.commit()


def test_a_spoilt_text_supports_nothing(bench, play, conclude):
    play.answer(1)
    spoil(bench, "UPDATE seal SET text = replace(text, '\"0.05\"', '\"0.50\"')")
    assert not play.unseal()
    assert conclude(play).finding.verdict == Verdict.EXPLORATORY


def test_an_unreadable_text_is_said_to_be_one(bench, play, led, conclude):
    spoil(bench, "UPDATE seal SET text = CAST('{}' AS BLOB)")
    play.unseal()
    for look in (conclude, lambda one: open_key(bench, led(one))):
        with pytest.raises(Spoilt, match="seal does not hold"):
            look(play)
