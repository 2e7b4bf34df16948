"""Findings of tables that serve a method: differences from a control, and orders of samples."""

import json
import re
from collections import defaultdict
from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np
import pytest
from scipy import stats

from server.blinding.events import Kind
from server.blinding.portable import read_document
from server.blinding.seal import read_sealed
from server.blinding.sealed import SealedTasting
from server.pages.assets import SAMPLE_SESSIONS
from server.reports import table_method_words as words
from server.reports.scored import TableAnalysis, analyse_table
from server.reports.table_exports import render_table, report_table
from server.reports.table_feedback import OwnRow, give_feedback
from server.reports.table_figures.profile import Profile
from server.reports.table_findings import TableFinding, conclude_table
from server.reports.table_grids import list_grids
from server.reports.table_pictures import list_pictures
from server.reports.table_verdicts import Manner, TableVerdict, find_manner
from server.sheets.sheet import Attribute
from server.sheets.starters import get_starter
from server.stats.page import page_critical
from tests.reports.test_table_words import FORBIDDEN, list_texts
from tests.scored_tables import Give, analyse, draw, tell
from tests.staging_tables import fill_sheet, list_scored

BETTER = re.compile(r"\b(better|best|worse|worst|prefer\w*|winner)\b", re.IGNORECASE)
ROWS = [text for name, value in vars(words).items() if name.isupper() for text in list_texts(value)]


def draw_control(samples: int = 4, **changed: Any) -> SealedTasting:
    """Draw a difference from control; batch A is the control."""
    sheet = get_starter("difference-from-control").sheet
    given = {"serves": "difference-from-control", "reference": "A", "warm_up": "A"}
    return draw(samples, sheet, **(given | {"assessors": 10, "pot_ml": "2000"} | changed))


def draw_ranking(samples: int = 4, order: str = "", **changed: Any) -> SealedTasting:
    """Draw a ranking, along an order if one is declared."""
    given = {"serves": "ranking", "order": tuple(order), "assessors": 8}
    return draw(samples, get_starter("ranking").sheet, **(given | changed))


def score(means: Mapping[str, int], wobble: int = 1) -> Give:
    """Score every sample by its mean; odd seats one more, by sample too if ``wobble`` is 2."""

    def give(seat: int, attribute: Attribute, sample: str, slot: str, time: str) -> int | None:
        del slot, time
        if attribute.name != "difference":
            return None
        return min(6, means[sample] + (seat + (ord(sample) if wobble == 2 else 0)) % 2)

    return give


def rank(sealed: SealedTasting, orders: Sequence[str]) -> TableAnalysis:
    """Rank by an order a seat, its samples from the first place to the last."""
    tale = tell(sealed, lambda *_: None)
    events = [one for one in tale.events if one.kind != Kind.ANSWERED]
    tale.events[:] = []
    for one in events:
        body = {name: value for name, value in (one.body or {}).items() if name != "at"}
        tale.tell(one.kind, **body)
    for serving in list_scored(sealed):
        codes = {sealed.get_sample(serving, cup.code): cup.code for cup in serving.cups}
        placed = [[codes[sample]] for sample in orders[(serving.seat - 1) % len(orders)]]
        given = {"order": placed, "note": None}
        answer = fill_sheet(sealed, serving, lambda one, *_, given=given: given[one.name])
        tale.answer(serving, answer)
    return analyse_table(sealed, tale.close().events)


def say(finding: TableFinding) -> str:
    """Put all sentences of a finding together."""
    return "\n".join(text for name in vars(finding) for text in list_texts(getattr(finding, name)))


@pytest.mark.parametrize("text", ROWS)
def test_no_sentence_claims_too_much_or_calls_anything_better(text: str) -> None:
    assert not FORBIDDEN.search(text)
    assert not BETTER.search(text)


def test_every_manner_has_its_headlines() -> None:
    ours = {TableVerdict.NOT_SHOWN, *words.BUT}
    assert {manner: set(rows) for manner, rows in words.HEADLINES.items()} == dict.fromkeys(
        set(Manner) - {Manner.SCORES}, ours
    )


# Differences from a control


def test_high_scores_that_the_blind_control_gets_too_are_no_difference() -> None:
    finding = conclude_table(analyse(draw_control(), score(dict.fromkeys("ABCD", 4))))
    assert finding.verdict == TableVerdict.NOT_SHOWN
    assert "“batch B”: 4.5 against the blind control’s 4.5 (0.0 more" in say(finding)
    assert "never against 0" in say(finding)


def test_only_samples_further_off_than_the_control_itself_are_named() -> None:
    analysis = analyse(draw_control(), score({"A": 1, "B": 1, "C": 4, "D": 2}, wobble=2))
    finding = conclude_table(analysis)
    assert finding.verdict == TableVerdict.DIFFER
    assert "scored “batch C” further from the control" in finding.headline
    assert "further from it" in next(one for one in finding.differ if "“batch C”:" in one)
    assert "not shown" in next(one for one in finding.differ if "“batch B”:" in one)


def test_a_sample_closer_than_the_blind_control_is_no_finding() -> None:
    finding = conclude_table(analyse(draw_control(2), score({"A": 4, "B": 1})))
    assert finding.verdict == TableVerdict.NOT_SHOWN


def test_pairs_of_samples_are_not_judged_beside_the_control() -> None:
    said = say(conclude_table(analyse(draw_control(), score({"A": 0, "B": 1, "C": 4, "D": 5}))))
    assert "Highest on average" not in said
    assert "house reference" not in said


def test_too_few_people_are_told_that_nothing_could_be_shown() -> None:
    sealed = draw_control(assessors=4)
    finding = conclude_table(analyse(sealed, score({"A": 0, "B": 0, "C": 6, "D": 0})))
    assert finding.verdict == TableVerdict.NOT_SHOWN
    assert "So few people cannot reach 5%: 4 people give p = 0.0625" in say(finding)
    assert "too few people for limits" in say(finding)


def test_the_control_has_a_table_of_its_own() -> None:
    analysis = analyse(draw_control(), score({"A": 0, "B": 0, "C": 4, "D": 1}))
    grids = {one.name: one for one in list_grids(analysis)}
    assert [row[0] for row in grids["control"].rows] == ["batch B", "batch C", "batch D"]
    assert "reference" not in grids


def test_the_figure_of_means_shows_the_test_against_the_control_and_no_letters() -> None:
    analysis = analyse(draw_control(), score({"A": 0, "B": 0, "C": 4, "D": 1}))
    profile = next(one.data for one in list_pictures(analysis) if one.name == "profile")
    assert isinstance(profile, Profile)
    assert analysis.control
    assert profile.panels[0].p_value == analysis.control.p_value
    assert [one.letters for one in profile.panels[0].rows] == [None] * 4


def test_the_ways_to_count_go_by_the_blind_control_as_well() -> None:
    sealed = draw_control()
    tale = tell(sealed, score({"A": 0, "B": 0, "C": 4, "D": 1}))
    late = list_scored(sealed)[-1]
    events = [
        one for one in tale.events
        if not (one.kind == Kind.ANSWERED and (one.body or {})["serving"] == str(late.id))
    ]  # fmt: skip
    tale.events[:] = []
    for one in events:
        tale.tell(one.kind, **{k: v for k, v in (one.body or {}).items() if k != "at"})
    tale.tell(Kind.CLOSED, reason="", pourer="absent")
    give = score({"A": 6, "B": 0, "C": 0, "D": 0})
    tale.answer(late, fill_sheet(sealed, late, lambda *about: give(10, *about)), Kind.LATE)
    tale.tell(Kind.UNSEALED, seal_matches=True)
    readings = analyse_table(sealed, tale.events).readings
    assert [(one.name, one.answers) for one in readings] == [("planned", 9), ("late", 10)]
    # nine of nine on one side: 3/2^9; with the tenth, who turns it round by the most: more
    assert readings[0].p_value == pytest.approx(3 / 2**9)
    assert (readings[1].p_value or 0) > readings[0].p_value


def test_the_sample_session_follows_from_its_file_by_hand() -> None:
    """Differences read from the file, permuted by scipy, adjusted by Holm's rule by hand."""
    document = json.loads((SAMPLE_SESSIONS / "lantern-row-kept-three-ways.json").read_bytes())
    sealed = json.loads(document["sealed"])
    stood = {
        (serving["id"], cup["code"]): (serving["seat"], sealed["key"][cup["id"]][0])
        for serving in sealed["servings"]
        for cup in serving["cups"]
    }
    given: dict[str, dict[int, int]] = defaultdict(dict)
    for event in document["events"]:
        if event["kind"] == "answered":
            for value in event["body"]["answer"]["values"]:
                seat, sample = stood[event["body"]["serving"], value["code"]]
                given[sample][seat] = value["value"]
    raw = [
        stats.permutation_test(
            (np.array([given[one][seat] - given["A"][seat] for seat in given["A"]]),),
            np.sum, permutation_type="samples", alternative="greater", n_resamples=5000,
        ).pvalue
        for one in "BCD"
    ]  # fmt: skip
    analysis = read("lantern-row-kept-three-ways")
    assert analysis.control
    assert [one.p_value for one in analysis.control.samples] == pytest.approx(raw)
    assert analysis.control.p_value == pytest.approx(3 * min(raw))


def read(file: str) -> TableAnalysis:
    """Analyse a sample session."""
    document = read_document((SAMPLE_SESSIONS / f"{file}.json").read_bytes())
    assert document.sealed_text
    return analyse_table(read_sealed(document.sealed_text), document.events)


# Orders


def test_an_order_beyond_chance_names_rank_sums_and_pairs() -> None:
    finding = conclude_table(rank(draw_ranking(3), ["ABC", "ABC", "ABC", "BAC"]))
    assert finding.verdict == TableVerdict.DIFFER
    assert finding.differ[0] == (
        "Rank sums, the lower the nearer to “strongest”: “batch A” 10, “batch B” 14, “batch C” 24."
    )
    assert "“batch A” before “batch C” and “batch B” before “batch C”" in finding.differ[1]
    assert not BETTER.search(say(finding).replace(finding.may_not_say[2], ""))


def test_orders_that_turn_round_show_nothing_and_name_no_pair() -> None:
    finding = conclude_table(rank(draw_ranking(3), ["ABC", "CBA"]))
    assert finding.verdict == TableVerdict.NOT_SHOWN
    assert not any("before" in one for one in finding.differ)


def test_friedmans_and_pages_numbers_are_scipys() -> None:
    orders = ["ABCD", "ABDC", "BACD", "ACBD", "ABCD", "CABD", "ABCD", "BADC"]
    ranks = np.array([[one.index(sample) + 1 for sample in "ABCD"] for one in orders])
    found = rank(draw_ranking(4, order="ABCD"), orders).others.orders["order"]
    assert found.complete
    assert found.complete.page
    assert found.complete.friedman.chi_square
    trend = stats.page_trend_test(ranks, ranked=True, method="exact")
    assert found.complete.friedman.chi_square.statistic == pytest.approx(
        stats.friedmanchisquare(*ranks.T).statistic
    )
    assert found.p_value == pytest.approx(trend.pvalue)
    assert found.complete.page.statistic == trend.statistic


def test_pages_table_decides_along_a_declared_order() -> None:
    """L of 4 rankings of 3 samples is significant at 5 % from 54 on (Page 1963, table 2)."""
    assert page_critical(4, 3, 0.05) == 54
    sealed = draw_ranking(3, order="ABC", assessors=4)
    verdicts = {}
    for last in (["ABC", "CAB"], ["BAC", "ACB"], ["ABC", "BAC"]):
        analysis = rank(sealed, ["ABC", "ABC", *last])
        complete = analysis.others.orders["order"].complete
        assert complete
        assert complete.page
        verdicts[complete.page.statistic] = conclude_table(analysis).verdict
    assert {at: verdict.value for at, verdict in verdicts.items()} == {
        53: "not_shown", 54: "differ", 55: "differ",
    }  # fmt: skip


def test_a_trend_against_the_declared_order_is_no_finding() -> None:
    analysis = rank(draw_ranking(4, order="DCBA"), ["ABCD"])
    assert find_manner(analysis) == Manner.TREND
    finding = conclude_table(analysis)
    assert finding.verdict == TableVerdict.NOT_SHOWN
    assert "trend declared beforehand" in finding.headline


def test_two_people_are_told_to_be_too_few_for_an_order() -> None:
    finding = conclude_table(rank(draw_ranking(3, assessors=2), ["ABC"]))
    assert any("too few assessors" in one for one in finding.differ)


def test_own_places_are_read_beside_those_of_the_others() -> None:
    analysis = rank(draw_ranking(3, assessors=5), ["CBA", "ABC", "ABC", "ABC", "BAC"])
    [question] = give_feedback(analysis)[1].questions
    assert question.question == "Order of strength (1: strongest)"
    assert question.rows[0] == OwnRow("batch A", 3.0, (1 + 1 + 1 + 2) / 4)
    assert question.turned == ()


def test_a_small_panel_reads_nobody_elses_places() -> None:
    feedback = give_feedback(rank(draw_ranking(3, assessors=3), ["CBA", "ABC"]))
    assert [one.questions for one in feedback.values()] == [()] * 3


def test_nobody_ranking_anything_is_no_answer() -> None:
    finding = conclude_table(analyse(draw_ranking(3), lambda *_: None))
    assert finding.verdict == TableVerdict.NO_ANSWERS


@pytest.mark.parametrize("make", [draw_ranking, draw_control], ids=["ranking", "control"])
def test_reports_say_nothing_that_is_not_there(make: Any) -> None:
    sealed = make()
    ranked = sealed.plan.table and sealed.plan.table.method == "ranking"
    analysis = (
        rank(sealed, ["ABCD", "ABDC"]) if ranked
        else analyse(sealed, score({"A": 0, "B": 1, "C": 4, "D": 2}))
    )  # fmt: skip
    assert not FORBIDDEN.search(say(conclude_table(analysis)))
    assert not re.search(r"\{\w*\}|\bNone\b|\bnan\b", render_table(analysis))
    json.dumps(report_table(analysis), allow_nan=False)
