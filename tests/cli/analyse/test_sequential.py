import json
import subprocess
import sys
from itertools import pairwise

import pytest
from click.testing import CliRunner, Result

from server.cli.analyse.sequential import sequential
from server.methods.registry import COUNTED

PLAN = "--method triangle --share 0.5 --beta 0.1"
# ISO 16820, Annex A, Table A.1, example 2 (read in a national edition with identical text):
# cumulative correct answers of a duo-trio test; "similar" after 11, "different" after 12.
TEST_A = (0, 0, 0, 1, 1, 2, 2, 3, 3, 4, 4)
TEST_C = (1, 2, 3, 4, 4, 5, 6, 7, 7, 8, 9, 10)
STANDARD = "--method duo-trio --share 0.4 --alpha 0.1 --beta 0.1"


def column(answers) -> str:
    return "\n".join(["correct", *(str(int(answer)) for answer in answers)])


def uncumulate(counts) -> str:
    return column(then - now for now, then in pairwise([0, *counts]))


@pytest.fixture
def run(tmp_path):
    """Follow a file with this text."""

    def run(text: str, options: str = f"{PLAN} --json") -> Result:
        file = tmp_path / "answers.csv"
        file.write_text(text, encoding="utf-8")
        return CliRunner().invoke(sequential, [str(file), *options.split()])

    return run


def refusal(result: Result) -> str:
    return result.stderr.strip().splitlines()[-1]


def test_answers_give_one_object_with_these_members(run):
    members = (
        "method chance share d_prime p_correct alpha beta block cap at_cap lines decision "
        "decided_at trials correct left_out path at_guessing at_planned notes"
    )
    assert list(json.loads(run(column([1, 0])).stdout)) == members.split()


@pytest.mark.parametrize(
    ("counts", "decision", "decided_at"),
    [(TEST_A, "no difference of the planned size", 11), (TEST_C, "difference", 12)],
)
def test_a_standards_example_ends_where_it_is_printed(run, counts, decision, decided_at):
    # Its parameters stood on a page not read; these end all its tests where it does.
    found = json.loads(run(uncumulate(counts), f"{STANDARD} --json").stdout)
    assert (found["decision"], found["decided_at"]) == (decision, decided_at)


def test_the_plan_and_its_exact_risks_come_unrounded(run):
    # Chance 1/3, planned 2/3, alpha 0.05, beta 0.1; computed independently.
    found = json.loads(run(column([1])).stdout)
    lines = {"slope": 0.5, "low": -1.6239637567, "high": 2.0849625007}
    assert found["lines"] == pytest.approx(lines, abs=5e-11)
    assert found["at_guessing"]["difference"] == pytest.approx(0.02935421, abs=5e-9)
    assert found["at_planned"]["no_difference"] == pytest.approx(0.06066536, abs=5e-9)


def test_a_distance_plans_the_share_that_goes_with_it(run):
    found = json.loads(run(column([1]), "--method triangle --dprime 1.5 --json").stdout)
    # d' 1.466263 is 1/2 correct in a triangle, a share of 1/4 (recomputed).
    assert found["d_prime"] == 1.5
    assert 0.25 < found["share"] < 0.27


def test_rounds_are_judged_when_they_are_complete(run):
    text = "correct,round\n" + "1,a\n" * 4 + "1,b\n" * 4 + "1,c\n"
    found = json.loads(run(text).stdout)
    assert (found["block"], found["decided_at"], found["left_out"]) == (4, 8, 1)


def test_rounds_that_lost_answers_are_told_of(run):
    text = "correct,round\n" + "1,a\n0,a\n" + "1,b\n" + "0,c\n1,c\n"
    notes = json.loads(run(text).stdout)["notes"]
    assert any("lost answers" in note for note in notes)


@pytest.mark.parametrize(
    ("rule", "decision"),
    [("no-decision", "no decision"), ("nearer-line", "difference")],
)
def test_the_cap_ends_as_its_rule_says(run, rule, decision):
    found = json.loads(run(column([1, 0, 1]), f"{PLAN} --cap 3 --at-cap {rule} --json").stdout)
    assert (found["decision"], found["decided_at"]) == (decision, 3)


def test_a_cap_that_spoils_the_risks_is_told_of(run):
    found = json.loads(run(column([1]), f"{PLAN} --cap 5 --at-cap nearer-line --json").stdout)
    assert "A true risk of this plan is above its nominal one." in found["notes"]


def test_too_small_a_size_is_followed_without_exact_risks(run):
    # A round of 1,000 answers keeps the test quick: 50 of them are too few for this size.
    options = "--method triangle --share 0.001 --block 1000 --json"
    found = json.loads(run(column([1]), options).stdout)
    assert (found["decision"], found["at_guessing"]) == ("go on", None)
    assert any(note.startswith("The exact risks are not given: cap") for note in found["notes"])


def test_a_method_without_distance_says_why(run):
    found = json.loads(run(column([1]), "--method two-out-of-five --share 0.3 --json").stdout)
    assert found["d_prime"] is None
    assert COUNTED["two-out-of-five"].model.without_d_prime in found["notes"]


def test_a_prior_adds_the_posterior(run):
    # 16 of 30 triangles, uniform prior: computed twice, in closed form and by integration.
    text = column([1, 0] * 14 + [1, 1])
    options = "--method triangle --share 0.2 --alpha 0.001 --beta 0.001 --prior 1 1 --json"
    posterior = json.loads(run(text, options).stdout)["posterior"]
    assert posterior["prior"] == {"a": 1.0, "b": 1.0}
    assert posterior["mean"] == pytest.approx(0.3006537123, abs=5e-11)
    assert posterior["above"][0]["probability"] == pytest.approx(0.776808604, abs=5e-10)


def test_people_read_where_the_test_stands(run):
    output = run(column([1, 1, 0, 1]), PLAN).stdout
    assert "Go on: nothing is decided yet." in output
    assert "judged after every answer, without a cap" in output
    assert "Answers on average: 11.2 if all guess, 13.4 at the planned size" in output


@pytest.mark.parametrize(
    ("answers", "told"),
    [
        ([1] * 5, "Stop: a difference, at answer 5."),
        ([0] * 4, "Stop: no difference of the planned size, at answer 4."),
    ],
)
def test_people_read_why_it_stopped(run, answers, told):
    assert told in run(column(answers), PLAN).stdout


def test_people_read_that_a_cap_left_it_open(run):
    output = run(column([1, 0]), f"{PLAN} --cap 2").stdout
    assert "Stop: no decision, the cap was reached at answer 2." in output
    assert "No decision by the cap: 1.0000 if all guess, 1.0000 at the planned size" in output


def test_people_read_the_last_rounds_of_a_long_test(run):
    options = "--method triangle --share 0.1 --alpha 0.001 --beta 0.001"
    output = run(column([1, 0, 0, 1] * 8), options).stdout
    assert "(the last 20 of 32; all with --json)" in output


def test_people_read_the_posterior(run):
    output = run(column([1, 1, 0]), f"{PLAN} --prior 2 2 --level 0.8").stdout
    assert "Share that notices, prior Beta(2, 2): mean " in output
    assert "with probability 0.8\n" in output


@pytest.mark.parametrize("word", ["prove", "safe", "same", "complies", "similar", "identical"])
@pytest.mark.parametrize("answers", [[1] * 5, [0] * 4, [1, 0]], ids=["above", "below", "between"])
def test_nothing_is_claimed_beyond_the_numbers(run, answers, word):
    output = run(column(answers), f"{PLAN} --prior 1 1").stdout.lower()
    assert word not in output
    assert "no difference" not in output.replace("no difference of the planned size", "")


@pytest.mark.parametrize(
    ("options", "message"),
    [
        ("--share 0.5", "--method"),
        ("--method triangle", "give either --share or --dprime"),
        ("--method triangle --share 0.5 --dprime 1", "give either --share or --dprime"),
        ("--method sniff --share 0.5", "method must be one of triangle"),
        ("--method paired-preference --share 0.5", "method must be one-sided for a sequential"),
        ("--method two-out-of-five --dprime 1", "give --share instead of --dprime"),
        ("--method triangle --share 1", "share must be above 0 and below 1, not 1.0"),
        ("--method triangle --share 0", "share must be above 0 and below 1, not 0.0"),
        ("--method triangle --dprime 0", "d_prime must be above 0, not 0"),
        ("--method triangle --dprime -1", "d_prime must be 0 or more and finite, not -1.0"),
        ("--method triangle --dprime 40", "p_correct must be above 0 and below 1, not 1.0"),
        ("--method triangle --share 0.5 --alpha 0", "alpha must be above 0"),
        ("--method triangle --share 0.5 --alpha 0.5 --beta 0.5", "alpha and beta must together"),
        ("--method triangle --share 0.5 --block 0", "block must be 1 or more, not 0"),
        ("--method triangle --share 0.5 --block 4 --cap 6", "cap must be a multiple of block (4)"),
        ("--method triangle --share 0.5 --level 0.9", "--level goes with --prior"),
        ("--method triangle --share 0.5 --prior 0 1", "prior a must be above 0"),
        ("--method triangle --share 0.5 --prior 1 1 --level 1", "level must be above 0"),
    ],
)
def test_impossible_options_exit_with_2_and_say_what_is_wrong(run, options, message):
    result = run(column([1, 0]), options)
    assert (result.exit_code, result.stdout) == (2, "")
    assert message in refusal(result)


def test_a_bad_row_exits_with_2_and_is_named_by_its_line(run):
    result = run("correct\n1\n2\n")
    assert (result.exit_code, result.stdout) == (2, "")
    assert "line 3: correct must be 1 or 0, not '2'" in refusal(result)


def test_the_columns_and_methods_are_told_in_the_help():
    output = CliRunner().invoke(sequential, ["--help"]).stdout
    assert "correct  1 or 0\n" in output
    assert all(name in output for name, method in COUNTED.items() if method.sided == "one")


def test_the_command_loads_without_scientific_libraries():
    code = (
        "import server.cli.analyse.sequential, sys; print({'scipy', 'numpy'} & sys.modules.keys())"
    )
    command = [sys.executable, "-c", code]
    loaded = subprocess.run(command, capture_output=True, text=True, check=True)
    assert loaded.stdout.strip() == "set()"
