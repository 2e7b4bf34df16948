import json
import subprocess
import sys

import pytest
from click.testing import CliRunner, Result

from server.cli.analyse.threshold import HARM, threshold
from server.stats.dose import ALL_CORRECT, JUMP

# Made-up answers of eight assessors; best estimates by the rule of ASTM E679 and
# ISO 13301 (from memory), their geometric mean recomputed by hand: 9.
SERIES = [1, 3, 9, 27, 81]
ROWS = ["00111", "01111", "10011", "00001", "11111", "00010", "01011", "00111"]
BY_ANSWER = "assessor,concentration,correct\n" + "".join(
    f"a{number},{concentration},{mark}\n"
    for number, row in enumerate(ROWS, start=1)
    for concentration, mark in zip(SERIES, row, strict=True)
)
# Made-up counts; the curve was recomputed independently (observed information: base R).
BY_STEP = "concentration,correct,trials\n1,9,24\n2,11,24\n4,12,24\n8,17,24\n16,21,24\n32,24,24\n"


@pytest.fixture
def run(tmp_path):
    """Analyse a file with this text."""

    def run(text: str, options: str = "--json") -> Result:
        file = tmp_path / "series.csv"
        file.write_text(text, encoding="utf-8")
        return CliRunner().invoke(threshold, [str(file), *options.split()])

    return run


def refusal(result: Result) -> str:
    return result.stderr.strip().splitlines()[-1]


@pytest.mark.parametrize("text", [BY_ANSWER, BY_STEP])
def test_a_series_gives_one_object_with_these_members(run, text):
    members = "method chance level answers best_estimates logistic notes"
    assert list(json.loads(run(text).stdout)) == members.split()


def test_answers_by_assessor_give_best_estimates_unrounded(run):
    best = json.loads(run(BY_ANSWER).stdout)["best_estimates"]
    assert best["threshold"] == pytest.approx(9, rel=1e-12)
    assert best["estimates"][2]["threshold"] == pytest.approx(15.588457, abs=5e-7)


def test_answers_by_assessor_give_a_curve_of_the_pooled_counts(run):
    found = json.loads(run(BY_ANSWER).stdout)
    assert [step["correct"] for step in found["logistic"]["steps"]] == [2, 3, 4, 7, 7]
    assert len(found["answers"]) == 40


def test_counts_give_a_curve_only(run):
    found = json.loads(run(BY_STEP).stdout)
    assert (found["best_estimates"], found["answers"]) == (None, None)
    assert found["logistic"]["threshold"] == pytest.approx(6.679819, abs=5e-6)
    assert found["logistic"]["slope_se_observed"] == pytest.approx(1.419048, abs=1e-6)


def test_counts_by_assessor_are_both(run):
    text = "assessor,concentration,correct,trials\nann,1,0,2\nann,4,2,2\nbo,1,1,2\nbo,4,2,2\n"
    found = json.loads(run(text).stdout)
    assert found["best_estimates"]["threshold"] == pytest.approx(2)
    assert found["logistic"]["steps"][0] == {"concentration": 1, "correct": 1, "trials": 4}


def test_three_alternatives_are_taken_unless_told_otherwise(run):
    assert json.loads(run(BY_STEP).stdout)["chance"] == 1 / 3
    found = json.loads(run(BY_STEP, "--method 2-afc --level 0.9 --json").stdout)
    assert (found["method"], found["chance"], found["level"]) == ("2-afc", 0.5, 0.9)


@pytest.mark.parametrize(
    "text",
    [
        BY_ANSWER,
        "assessor,concentration,correct\nann,1,1\n",
        "concentration,correct,trials\n1,24,24\n2,24,24\n",
        "concentration,correct,trials\n1,0,24\n2,0,24\n",
    ],
)
def test_the_object_is_strict_json_whatever_cannot_be_estimated(run, text):
    found = json.loads(run(text).stdout, parse_constant=pytest.fail)
    assert found["notes"][-1] == HARM


def test_what_is_not_estimable_is_null_with_a_sentence(run):
    found = json.loads(run("concentration,correct,trials\n1,24,24\n2,24,24\n").stdout)
    assert (found["logistic"]["threshold"], found["logistic"]["slope"]) == (None, None)
    assert ALL_CORRECT in found["notes"]


def test_thresholds_for_people_stand_in_the_unit_of_the_file(run):
    output = run(BY_ANSWER, "").stdout
    assert "  a5: 0.5774, past the series, below it\n" in output
    assert "Geometric mean of 8: 9, limits" in output
    assert HARM in output


def test_a_curve_for_people_names_both_kinds_of_error(run):
    output = run(BY_STEP, "").stdout
    assert "Threshold, half way between guessing and 1: 6.68, limits" in output
    assert "standard error 0.0850 by expected and 0.0913 by observed information" in output


def test_an_open_side_is_said(run):
    output = run("concentration,correct,trials\n1,8,24\n2,8,24\n4,8,24\n", "").stdout
    assert "half way between guessing and 1: not estimable, at least " in output
    assert "Slope per decade: not estimable" in output


def test_single_answers_of_one_person_still_give_a_best_estimate(run):
    text = "assessor,concentration,correct\nann,1,0\nann,2,0\nann,4,1\nann,8,1\n"
    found = json.loads(run(text).stdout)
    assert found["best_estimates"]["threshold"] == pytest.approx(8**0.5)
    assert JUMP in found["notes"]


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("assessor,concentration\nann,1\n", "needs the columns assessor, concentration, correct"),
        ("assessor,concentration,correct\nann,0,1\n", "line 2: concentration must be above 0"),
        ("assessor,concentration,correct\nann,-1,1\n", "line 2: concentration must be above 0"),
        ("assessor,concentration,correct\nann,x,1\n", "line 2: concentration must be a number"),
        ("assessor,concentration,correct\nann,1,2\n", "line 2: correct must be 1 or 0"),
        ("assessor,concentration,correct\n,1,1\n", "line 2: assessor is empty"),
        ("concentration,correct,trials\n1,5,4\n", "line 2: correct must be at most trials (4)"),
        ("concentration,correct,trials\n1,0,0\n", "line 2: trials must be a whole number, 1"),
        (
            "concentration,correct,trials\n1,1,4\n2,1,4\n1.0,1,4\n",
            "line 4: concentration 1 stands in line 2 already",
        ),
    ],
)
def test_rows_that_make_no_series_are_refused_by_line(run, text, message):
    result = run(text)
    assert (result.exit_code, result.stdout) == (2, "")
    assert message in refusal(result)


@pytest.mark.parametrize(
    ("options", "message"),
    [
        ("--level 1", "level must be above 0 and below 1, not 1.0"),
        ("--method paired-preference", "--method must have correct answers"),
        ("--method sniff", "method must be one of triangle"),
    ],
)
def test_impossible_options_are_refused(run, options, message):
    result = run(BY_STEP, options)
    assert (result.exit_code, result.stdout) == (2, "")
    assert message in refusal(result)


def test_the_help_describes_the_columns_line_by_line():
    told = CliRunner().invoke(threshold, ["--help"]).stdout
    assert "\n    concentration  above 0, in one unit throughout, whichever\n" in told


def test_the_command_loads_without_scientific_libraries():
    code = (
        "import server.cli.analyse.threshold, sys; print({'scipy', 'numpy'} & sys.modules.keys())"
    )
    command = [sys.executable, "-c", code]
    loaded = subprocess.run(command, capture_output=True, text=True, check=True)
    assert loaded.stdout.strip() == "set()"
