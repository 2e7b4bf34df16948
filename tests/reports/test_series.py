"""The finding of a rising series, from what was answered to what may be said."""

from collections.abc import Callable
from math import log, log10
from typing import Any

import pytest
from scipy.optimize import minimize
from scipy.special import expit

from server.reports.series.analysis import SeriesAnalysis, analyse_series
from server.reports.series.exports import render_series, report_series, write_rows
from server.reports.series.figures import describe_series, draw_series
from server.reports.series.findings import SeriesFinding, conclude_series
from server.storage import queries
from server.tastings import closing, pouring
from tests.playing import Play
from tests.series_forms import answer_series

RISING = {1: "oo++", 2: "o+++", 3: "o+++", 4: "+o++", 5: "ooo+", 6: "++++"}
Tell = Callable[..., SeriesAnalysis]


@pytest.fixture
def tell(bench: Any, make_series: Callable[..., Any]) -> Tell:
    """Play a series by its marks and analyse it."""

    def play(
        marks: dict[int, str] = RISING, pourer: str = "absent", celsius: Any = None, **plan: str
    ) -> SeriesAnalysis:
        made = make_series(**plan)
        played = Play(bench, made)
        if celsius:
            _read_batches(bench, made, celsius)
        answer_series(played, marks)
        closing.close_tasting(bench, made.id, "it was late", pourer)
        closing.unseal_tasting(bench, made.id)
        with bench.reading() as db:
            return analyse_series(made.sealed, queries.load_events(db, made.id))

    return play


def _read_batches(bench: Any, made: Any, celsius: Any) -> None:
    for slot in made.sealed.slots:
        noted = {"slot": slot.name, "temperature_c": celsius(slot), "fill_g": "30", "tds": ""}
        pouring.note_brew(bench, made.id, range(1, 5), noted)


def conclude(analysis: SeriesAnalysis) -> SeriesFinding:
    return conclude_series(analysis)


def test_best_estimates_are_those_of_a_hand_calculation(tell: Tell) -> None:
    best = tell().main.best
    assert best
    # last step missed and the next one, geometric mean; with none missed half a step below
    # (ASTM E679, from memory): √(1·2), √(0.5·1), √(0.5·1), √(1·2), √(2·4), 0.5/√2
    by_hand = [2**0.5, 0.5**0.5, 0.5**0.5, 2**0.5, 8**0.5, 0.5 / 2**0.5]
    assert [one.threshold for one in best.estimates] == pytest.approx(by_hand)
    mean = sum(log10(one) for one in by_hand) / 6
    assert best.threshold == pytest.approx(10**mean)


def test_the_curve_is_the_most_likely_one_by_another_way_to_find_it(tell: Tell) -> None:
    curve = tell().main.curve
    assert curve
    steps = [(log10(0.5 * 2**i), right, 6) for i, right in enumerate((2, 3, 5, 6))]

    def lose(at: Any) -> float:
        shares = [1 / 3 + 2 / 3 * expit(at[1] * (x - at[0])) for x, _, _ in steps]
        told = zip(steps, shares, strict=True)
        return -sum(k * log(p) + (n - k) * log(1 - p) for (_, k, n), p in told)

    found = minimize(
        lose, [0.2, 5.0], method="Nelder-Mead", options={"xatol": 1e-9, "fatol": 1e-12}
    )
    assert curve.log_threshold == pytest.approx(found.x[0], abs=1e-5)
    assert curve.slope == pytest.approx(found.x[1], abs=1e-3)


def test_a_threshold_within_the_series_is_named_with_its_limits(tell: Tell) -> None:
    finding = conclude(tell())
    assert finding.verdict == "noticed_from"
    assert finding.headline.startswith("This panel noticed “rock sugar” half of the time at about")
    assert "limits" in finding.may_say[0]


@pytest.mark.parametrize(
    ("marks", "verdict"),
    [
        ("++++", "all_right"),
        ("oooo", "not_noticed"),
        ("oo++", "between"),
    ],
)
def test_series_without_a_curve_say_why(tell: Tell, marks: str, verdict: str) -> None:
    finding = conclude(tell(dict.fromkeys(range(1, 7), marks)))
    assert finding.verdict == verdict
    assert "None" not in render_series(finding)


def test_an_estimate_outside_of_the_series_is_no_finding(tell: Tell) -> None:
    marks = {1: "o+oo", 2: "oo+o", 3: "+ooo", 4: "oo++", 5: "ooo+", 6: "+oo+"}
    finding = conclude(tell(marks))
    assert finding.verdict in ("above", "not_estimable")
    assert "From which concentration on this panel notices it." in finding.may_not_say


def test_no_finding_says_that_anything_is_safe_or_that_nobody_notices(tell: Tell) -> None:
    finding = conclude(tell())
    said = " ".join((finding.headline, *finding.may_say, *finding.next_steps)).lower()
    for word in ("safe", "harmless", "nobody notices", "proves"):
        assert word not in said
    assert "safe or harmless" in finding.may_not_say[0]


def test_base_and_step_at_other_temperatures_are_a_rival_cause(tell: Tell) -> None:
    finding = conclude(tell(celsius=lambda slot: "58" if slot.sample == "A" else "51"))
    assert finding.verdict == "noticed_from_not_matched"
    assert "temperature was not matched" in finding.headline


def test_each_step_is_compared_with_the_base_of_its_own_round(tell: Tell) -> None:
    cooling = tell(celsius=lambda slot: str(60 - 5 * slot.round))
    assert [one.state.value for one in cooling.properties] == ["matched", "matched"]


def test_steps_that_somebody_left_out_are_said_and_count_for_nobody(tell: Tell) -> None:
    analysis = tell(RISING | {3: "oo.+", 5: "...."}, spare_seats="0")
    best = analysis.main.best
    assert best
    assert [one.assessor for one in best.estimates] == ["1", "2", "3", "4", "6"]
    assert best.estimates[2].left_out == (2.0,)
    finding = conclude(analysis)
    assert any("19 of 24 planned answers" in one for one in finding.limits)
    assert ("3", "missed", "missed", "–", "right", "2 g/L", "0") in finding.tables[1].rows


def test_an_open_tasting_is_exploratory(tell: Tell) -> None:
    finding = conclude(tell(pourer="taster"))
    assert finding.verdict == "exploratory"
    assert "open" in finding.headline


def test_without_an_answer_there_is_no_number(tell: Tell) -> None:
    finding = conclude(tell({}))
    assert finding.verdict == "no_answers"
    assert (len(finding.numbers), finding.tables) == (1, ())


def test_asked_by_name_the_finding_says_what_was_asked(tell: Tell) -> None:
    finding = conclude(tell(attribute="sweet"))
    assert "What was noticed was asked for by name: “sweet”." in finding.may_say


def test_rows_and_numbers_can_be_taken_along(tell: Tell) -> None:
    analysis = tell()
    rows = write_rows(analysis).splitlines()
    assert rows[:3] == ["assessor,concentration,correct", "seat 1,0.5,0", "seat 1,1,0"]
    assert len(rows) == 25
    assert report_series(analysis)["finding"]["verdict"] == "noticed_from"


def test_the_picture_shows_every_step_and_says_so_in_words(tell: Tell) -> None:
    analysis = tell()
    drawn = draw_series(analysis)
    assert drawn.startswith(b"<?xml")
    assert drawn == draw_series(analysis)
    assert "0.5 g/L 33.3%, 1 g/L 50%, 2 g/L 83.3%, 4 g/L 100%" in describe_series(analysis)


def test_an_answer_that_named_a_cue_is_also_left_out(bench: Any, make_series: Any) -> None:
    made = make_series()
    play = Play(bench, made)
    first = made.servings(1)[0]
    play.send(1, first, play.form(first) | {"cue": "foam", "cued": "on"})
    answer_series(play, {2: "oo++", 3: "o+++"})
    play.contest(4)
    play.unseal()
    with bench.reading() as db:
        analysis = analyse_series(made.sealed, queries.load_events(db, made.id))
    names = [(one.name, len(one.answers)) for one in analysis.alternatives]
    assert names == [("contested_first", 10), ("contested_last", 10), ("without_cues", 8)]
    finding = conclude(analysis)
    assert [table.name for table in finding.tables] == ["steps", "people", "readings"]
    assert any("“foam” (right)" in one for one in finding.limits)


def test_an_abandoned_series_has_no_finding(bench: Any, make_series: Any) -> None:
    made = make_series()
    answer_series(Play(bench, made), RISING)
    closing.abandon_tasting(bench, made.id, "the kettle broke")
    with bench.reading() as db:
        finding = conclude(analyse_series(made.sealed, queries.load_events(db, made.id)))
    assert finding.headline == "Abandoned: there is no finding."
    assert (finding.may_say, finding.tables) == ((), ())
