import json
import subprocess
import sys

import pytest
from click.testing import CliRunner, Result

from server.cli.analyse.replicated import replicated
from server.methods.registry import COUNTED

# Synthetic: 16 assessors with 5 answers each.
FIVES = [0, 1, 1, 1, 1, 2, 2, 2, 2, 2, 3, 3, 4, 5, 5, 5]
BY_ASSESSOR = "assessor,correct,trials\n" + "".join(f"p{i},{k},5\n" for i, k in enumerate(FIVES))
BY_ANSWER = "assessor,correct\n" + "".join(
    f"p{i},{int(answer < k)}\n" for answer in range(5) for i, k in enumerate(FIVES)
)
TWO = "assessor,correct,trials\nann,3,6\nbo,2,6\n"


@pytest.fixture
def run(tmp_path):
    """Analyse a file with this text."""

    def run(text: str, options: str = "--method triangle --json") -> Result:
        file = tmp_path / "answers.csv"
        file.write_text(text, encoding="utf-8")
        return CliRunner().invoke(replicated, [str(file), *options.split()])

    return run


def refusal(result: Result) -> str:
    return result.stderr.strip().splitlines()[-1]


def test_answers_give_one_object_with_these_members(run):
    members = (
        "method sided chance assessors correct trials alpha level seed pooled all_guessing "
        "dispersion beta_binomial corrected mean_against_chance share_upper notes"
    )
    assert list(json.loads(run(TWO).stdout)) == members.split()


def test_a_computed_example_comes_unrounded(run):
    # Computed independently: pooled p, and the fit corrected for guessing.
    found = json.loads(run(BY_ASSESSOR).stdout)
    assert (found["method"], found["assessors"], found["pooled"]["correct"]) == ("triangle", 16, 39)
    assert found["pooled"]["p_value"] == pytest.approx(0.00306642, abs=5e-9)
    assert found["corrected"]["gamma"] == pytest.approx(0.869954, abs=1e-6)


def test_one_row_an_answer_says_the_same_as_one_row_an_assessor(run):
    assert run(BY_ANSWER).stdout == run(BY_ASSESSOR).stdout


def test_options_are_taken(run):
    options = "--method duo-trio --alpha 0.1 --level 0.9 --seed 7 --json"
    found = json.loads(run(TWO, options).stdout)
    assert (found["chance"], found["alpha"], found["level"], found["seed"]) == (0.5, 0.1, 0.9, 7)


def test_a_two_sided_method_folds_and_does_not_correct_for_guessing(run):
    found = json.loads(run(TWO, "--method paired-preference --json").stdout)
    assert (found["method"], found["sided"], found["corrected"]) == (
        "paired-preference",
        "two",
        None,
    )


def test_similarity_adds_its_own_member(run):
    found = json.loads(run(BY_ASSESSOR, "--method triangle --similarity 0.5 --json").stdout)
    judged = found["similarity"]
    assert (judged["limit"], judged["beta"], judged["similar"]) == (0.5, 0.05, True)
    assert judged["upper"] == found["share_upper"]


def test_people_read_what_was_found_and_whom_it_speaks_about(run):
    output = run(BY_ASSESSOR, "--method triangle").stdout
    assert "16 assessors, 80 answers (5 each), 39 correct" in output
    assert "A difference was detected." in output
    assert "this panel on these cups" in output


def test_people_read_of_a_two_sided_test_in_its_own_words(run):
    output = run(TWO, "--method paired-comparison").stdout
    assert "5 for the sample counted; an even split: 6.0" in output
    assert "A departure from an even split was not detected." in output


@pytest.mark.parametrize(
    ("limit", "told"),
    [
        ("0.5", "At a risk of 0.05: tasters like these would on average notice"),
        ("0.2", "It was not shown that tasters like these"),
    ],
)
def test_people_read_what_a_similarity_test_supports(run, limit, told):
    assert told in run(BY_ASSESSOR, f"--method triangle --similarity {limit}").stdout


def test_people_read_no_conclusion_where_there_is_none(run):
    output = run("assessor,correct,trials\nann,9,24\n", "--method triangle --similarity 0.5").stdout
    assert "No conclusion on whether tasters like these" in output


def test_no_sentence_is_told_twice(run):
    lines = run("assessor,correct,trials\nann,9,24\n", "--method triangle").stdout.splitlines()
    assert len(lines) == len(set(lines))


@pytest.mark.parametrize("text", [BY_ASSESSOR, TWO], ids=["detected", "not detected"])
def test_nothing_is_claimed_beyond_the_numbers(run, text):
    told = run(text, "--method triangle --similarity 0.5").stdout.lower()
    claims = ("prove", "safe", "same", "no difference", "complies")
    assert [word for word in claims if word in told] == []


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("assessor,correct,trials\nann,7,6\n", "line 2: correct must be at most trials (6), not 7"),
        ("assessor,correct,trials\nann,1,0\n", "line 2: trials must be a whole number, 1 or more"),
        ("assessor,correct,trials\nann,1,\n", "line 2: trials is empty"),
        ("assessor,correct,trials\n,1,2\n", "line 2: assessor is empty"),
        (TWO + "ann,1,6\n", "line 4: assessor 'ann' stands on line 2 already"),
        ("assessor,correct\nann,1\nann,2\n", "line 3: correct must be 1 or 0, not '2'"),
        ("who,correct\nann,1\n", "line 1: needs the columns assessor, correct"),
        ("assessor,correct,trials\nann,1,1001\n", "trials must be at most 1,000 a person"),
    ],
)
def test_a_file_that_cannot_be_is_refused_by_its_line(run, text, message):
    result = run(text)
    assert (result.exit_code, result.stdout) == (2, "")
    assert message in refusal(result)


@pytest.mark.parametrize(
    ("options", "message"),
    [
        ("", "--method"),
        ("--method sniff", "method must be one of triangle"),
        ("--method triangle --alpha 0", "alpha must be above 0"),
        ("--method triangle --level 1", "level must be above one half and below 1"),
        ("--method triangle --seed -1", "seed must be 0 or more"),
        ("--method triangle --similarity 0", "limit must be above 0"),
        ("--method triangle --similarity 0.3 --beta 1", "beta must be above 0"),
        ("--method triangle --beta 0.1", "--beta belongs to --similarity"),
        ("--method paired-preference --similarity 0.3", "not paired-preference"),
    ],
)
def test_impossible_options_exit_with_2_and_say_what_is_wrong(run, options, message):
    result = run(TWO, options)
    assert (result.exit_code, result.stdout) == (2, "")
    assert message in refusal(result)


def test_the_columns_are_told_in_the_help():
    output = CliRunner().invoke(replicated, ["--help"]).stdout
    assert "assessor  name or code\n" in output
    assert "trials    how many answers there were\n" in output


def test_the_help_names_every_method():
    output = CliRunner().invoke(replicated, ["--help"]).stdout
    assert all(name in output for name in COUNTED)


def test_the_command_loads_without_scientific_libraries():
    code = (
        "import server.cli.analyse.replicated, sys; print({'scipy', 'numpy'} & sys.modules.keys())"
    )
    command = [sys.executable, "-c", code]
    loaded = subprocess.run(command, capture_output=True, text=True, check=True)
    assert loaded.stdout.strip() == "set()"
