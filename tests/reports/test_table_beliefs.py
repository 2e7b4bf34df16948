"""Bayes factors of a table's declared question: what is weighed, and in what words."""

import math
import re
from collections import defaultdict
from typing import Any

import numpy as np
import pytest
from scipy import integrate, stats

from server.reports.scored import TableAnalysis
from server.reports.table_beliefs import Beliefs, judge, show_beliefs, show_factor
from server.sheets.scales.comment import Comment
from server.sheets.sheet import Attribute
from server.stats.score_bayes import ALL_EQUAL, SCALE, Weighed
from tests.reports.test_table_words import APART, FORBIDDEN, abandon, guess
from tests.scored_tables import SWEET, analyse, draw, give_means, make_sheet

NOTE = Attribute(name="note", label="Note", required=False, scale=Comment())


def tell(analysis: TableAnalysis) -> Beliefs:
    """Show the beliefs, and hold their words to what no finding may say."""
    shown = show_beliefs(analysis)
    said = "\n".join((*shown.lines, *shown.grid.head, *(c for row in shown.grid.rows for c in row)))
    assert not FORBIDDEN.search(said)
    assert not re.search(r"\{\w*\}|\bNone\b|\bnan\b", said)
    return shown


def test_a_pair_is_weighed_by_what_each_person_said_of_both_samples() -> None:
    """Straight from the sheets: means by person, the paired t, and noncentral t by scipy."""
    analysis = analyse(draw(3, duplicates=("B",)), give_means({"A": 50, "B": 51, "C": 54}))
    said: dict[tuple[str, str], list[float]] = defaultdict(list)
    for table in analysis.tables:
        for value in table.answer.values:
            said[table.assessor, table.find_sample(value.code)].append(value.value / 10)
    mean = {place: np.mean(values) for place, values in said.items()}
    differences = [float(mean[who, "C"] - mean[who, "B"]) for who in analysis.people]
    t = float(stats.ttest_1samp(differences, 0).statistic)
    size = math.sqrt(len(differences))

    def weigh(at: float) -> float:
        fit = float(stats.nct.pdf(t, len(differences) - 1, at * size))
        return fit * float(stats.cauchy.pdf(at, scale=SCALE))

    factor = integrate.quad(weigh, -30, 30, points=[0, t / size])[0]
    factor /= float(stats.t.pdf(t, len(differences) - 1))
    assert analysis.beliefs
    pair = next(one for one in analysis.beliefs.pairs if {one.first, one.second} == {"B", "C"})
    assert pair.found.weighed[0].bayes_factor == pytest.approx(factor, rel=1e-3)
    assert pair.found.difference == pytest.approx(abs(np.mean(differences)))


def test_every_pair_stands_with_the_higher_sample_first() -> None:
    shown = tell(analyse(draw(4), give_means(APART)))
    assert len(shown.grid.rows) == 6
    assert all(len(row) == len(shown.grid.head) for row in shown.grid.rows)
    assert shown.grid.rows[0][0] == "“batch B” above “batch A”"
    assert not any(row[4].startswith("−") for row in shown.grid.rows)


def test_three_priors_stand_side_by_side() -> None:
    analysis = analyse(draw(2), guess())
    assert analysis.beliefs
    assert analysis.beliefs.scales == (SCALE, SCALE / 2, 2 * SCALE)
    factors = [show_factor(one) for one in analysis.beliefs.pairs[0].found.weighed]
    assert tell(analysis).grid.rows[0][2:4] == (factors[0], f"{factors[1]} and {factors[2]}")


def test_a_prior_that_was_sealed_is_told_as_such() -> None:
    sealed = draw(3, prior_scale="0.4")
    shown = tell(analyse(sealed, give_means(APART)))
    assert shown.lines[0].startswith("The prior, as sealed with the plan:")
    assert "smaller than 0.40 of the spread" in shown.lines[0]


def test_a_prior_that_was_not_sealed_is_told_to_be_the_default() -> None:
    shown = tell(analyse(draw(3), give_means(APART)))
    assert shown.lines[0].startswith("The prior was stated after sealing, the default:")


def test_all_samples_are_weighed_together_first() -> None:
    analysis = analyse(draw(4), guess())
    assert analysis.beliefs
    assert analysis.beliefs.together
    assert analysis.numbers
    assert analysis.beliefs.together.f == pytest.approx(
        analysis.numbers.attributes["sweet"].samples.f
    )
    shown = tell(analysis)
    assert shown.lines[2].startswith("All samples together, by 6 persons who scored all of them:")
    assert "There are 6 pairs" in shown.lines[3]


def test_two_samples_are_one_pair_and_nothing_more() -> None:
    analysis = analyse(draw(2), give_means(APART))
    assert analysis.beliefs
    assert analysis.beliefs.together is None
    assert not any("pairs" in line for line in tell(analysis).lines)


def test_where_nobody_scored_all_samples_pairs_count_who_scored_both() -> None:
    analysis = analyse(draw(4, block=2, assessors=12), give_means(APART))
    shown = tell(analysis)
    assert "All samples together: Not estimable" in " ".join(shown.lines)
    assert {row[7] for row in shown.grid.rows} == {"2"}


def test_everybody_of_one_opinion_cannot_be_weighed() -> None:
    analysis = analyse(draw(2), lambda _, __, sample, *___: 500 + 100 * (sample == "B"))
    assert analysis.beliefs
    assert analysis.beliefs.pairs[0].found.notes == (ALL_EQUAL,)
    assert tell(analysis).grid.rows[0][1:4] == ("not estimable",) * 3


def test_one_person_cannot_be_weighed() -> None:
    rows = tell(analyse(draw(2, assessors=1), give_means(APART))).grid.rows
    assert rows[0][1:4] == ("not estimable",) * 3


def refuse(analysis: TableAnalysis) -> str:
    """Return the one sentence that says why nothing is weighed."""
    shown = tell(analysis)
    assert shown.grid.rows == ()
    assert analysis.beliefs is None
    return shown.lines[0]


def test_shared_bowls_are_not_weighed_person_by_person() -> None:
    sealed = draw(3, style="shared", bowls=2, scattered=True)
    assert "one set of bowls" in refuse(analyse(sealed, give_means(APART)))


def test_without_a_declared_question_nothing_is_weighed() -> None:
    assert "No question with numbers was declared" in refuse(
        analyse(draw(3, primary=""), give_means(APART))
    )


def test_a_question_without_numbers_is_not_weighed() -> None:
    def give(seat: int, one: Attribute, *about: str) -> Any:
        return (
            "papery" if one is NOTE or one.name == "note" else give_means(APART)(seat, one, *about)
        )

    sealed = draw(3, make_sheet(SWEET, NOTE), primary="note")
    assert "No question with numbers" in refuse(analyse(sealed, give))


def test_a_table_given_up_is_not_weighed() -> None:
    assert "no scores to weigh" in refuse(abandon(draw(3)))


def test_one_pot_a_sample_is_told() -> None:
    analysis = analyse(draw(3, pots="single"), give_means(APART))
    assert analysis.single
    assert any("these pots" in line for line in tell(analysis).lines)


def make(*factors: float) -> tuple[Weighed, ...]:
    """Weigh by so much under one prior after the other."""
    return tuple(Weighed(1.0, math.log(one), one) for one in factors)


@pytest.mark.parametrize(
    ("factors", "word"),
    [
        ((9, 4, 30), "difference"),
        ((0.2, 0.1, 0.3), "none"),
        ((1, 0.5, 2.9), "little"),
        ((4, 2, 6), "depends"),
        ((), "untested"),
    ],
)
def test_what_it_speaks_for_must_hold_under_every_prior(
    factors: tuple[float, ...], word: str
) -> None:
    assert judge(make(*factors)) == word


def test_a_factor_beyond_numbers_is_shown_by_its_side() -> None:
    assert show_factor(Weighed(1.0, 900.0, None)) == "more than 10,000"
    assert show_factor(Weighed(1.0, -900.0, None)) == "less than 1/10,000"
    assert judge((Weighed(1.0, 900.0, None),)) == "difference"
