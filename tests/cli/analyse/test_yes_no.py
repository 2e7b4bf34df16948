import json
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from server.cli.analyse.yes_no import yes_no

A_NOT_A = "served,answer,count\na,a,60\na,not-a,40\nnot-a,a,35\nnot-a,not-a,65\n"
PAIRS = (
    "served,answer,count\nsame,same,60\nsame,different,40\ndifferent,same,40\n"
    "different,different,60\n"
)


def run(tmp_path: Path, text: str, *options: str) -> Result:
    file = tmp_path / "answers.csv"
    file.write_text(text, encoding="utf-8")
    return CliRunner().invoke(yes_no, [str(file), *options])


def read(tmp_path: Path, text: str, *options: str) -> dict:
    output = run(tmp_path, text, *options, "--json").stdout
    return json.loads(output, parse_constant=pytest.fail)


def write_pairs(plus: int, minus: int, both: int, neither: int) -> str:
    """Everybody is served a same pair and a different pair; how the answers fall."""
    said = [("same", "different")] * plus + [("different", "same")] * minus
    said += [("same", "same")] * both + [("different", "different")] * neither
    rows = [
        f"{served},{answer},taster {place}"
        for place, answers in enumerate(said)
        for served, answer in zip(("same", "different"), answers, strict=True)
    ]
    return "\n".join(["served,answer,assessor", *rows])


def test_an_analysis_gives_one_object_with_these_members(tmp_path):
    members = "design rates paired within used p_value distance level notes layouts"
    assert list(read(tmp_path, A_NOT_A, "--design", "a-not-a")) == members.split()


def test_an_a_not_a_test_comes_unrounded_and_equals_computed_values(tmp_path):
    # 60 of 100 against 35 of 100, computed independently.
    found = read(tmp_path, A_NOT_A, "--design", "a-not-a")
    assert found["rates"]["pearson"]["statistic"] == pytest.approx(12.53132832, abs=5e-9)
    assert found["p_value"] == pytest.approx(0.00032039602, abs=5e-12)
    assert found["distance"]["d_prime"] == pytest.approx(0.63866757, abs=5e-9)


def test_a_same_different_test_comes_unrounded_and_equals_computed_values(tmp_path):
    # 60 of 100 same pairs and 40 of 100 different ones called same, computed independently.
    found = read(tmp_path, PAIRS, "--design", "same-different")["distance"]
    assert (found["criterion"], found["d_prime"]) == pytest.approx(
        (1.19023216, 1.43320417), abs=5e-9
    )


def test_one_serving_of_each_kind_for_everybody_is_a_test_of_changed_answers(tmp_path):
    # A student's laboratory sheet: discordant 14 and 12, McNemar with correction 0.0385 (printed).
    found = read(tmp_path, write_pairs(14, 12, 4, 10), "--design", "same-different")
    assert found["used"] == "mcnemar"
    assert found["paired"]["corrected"]["statistic"] == pytest.approx(0.0385, abs=5e-5)


def test_several_answers_of_one_assessor_are_tested_within_assessors(tmp_path):
    # Fisher's tea tasting (1935, from memory): all eight cups right, 1/70.
    text = "served,answer,assessor,count\na,a,lady,4\nnot-a,not-a,lady,4\n"
    found = read(tmp_path, text, "--design", "a-not-a")
    assert (found["used"], found["p_value"]) == ("within assessors", pytest.approx(1 / 70))


def test_the_level_is_taken(tmp_path):
    wide, narrow = (
        read(tmp_path, A_NOT_A, "--design", "a-not-a", "--level", level)["distance"]
        for level in ("0.99", "0.5")
    )
    assert wide["d_prime_interval"][0] < narrow["d_prime_interval"][0]


@pytest.mark.parametrize("cells", ["5,0,0,5", "5,0,5,0", "0,5,0,5", "5,0,1,4", "0,5,5,0"])
@pytest.mark.parametrize("design", ["a-not-a", "same-different"])
def test_edges_give_strict_json_and_words(tmp_path, design, cells):
    one, other = ("a", "not-a") if design == "a-not-a" else ("same", "different")
    kinds = [(one, one), (one, other), (other, one), (other, other)]
    rows = zip(kinds, cells.split(","), strict=True)
    text = "\n".join(["served,answer,count", *(f"{a},{b},{n}" for (a, b), n in rows)])
    assert read(tmp_path, text, "--design", design)["notes"]
    assert "None" not in run(tmp_path, text, "--design", design).stdout


def test_an_analysis_for_people_says_counts_p_and_distance(tmp_path):
    output = run(tmp_path, A_NOT_A, "--design", "a-not-a").stdout
    assert "Answered A: 60 of 100 servings of A, 35 of 100 servings of not A" in output
    assert "p = 0.0003, one-sided, exact (Fisher)" in output
    assert "d′ 0.639, limits 0.286 to 0.995; criterion 0.066" in output


def test_changed_answers_are_told_to_people(tmp_path):
    output = run(tmp_path, write_pairs(14, 12, 4, 10), "--design", "same-different").stdout
    assert "Two different answers: 14 in line with the servings, 12 against" in output
    assert "McNemar with correction 0.038, df 1" in output


@pytest.mark.parametrize(
    ("text", "design", "message"),
    [
        (A_NOT_A, "same-different", "line 2: served must be one of same, different, not 'a'"),
        ("served,answer\na,b\nnot-a,a\n", "a-not-a", "line 2: answer must be one of a, not-a"),
        ("served,answer\na,a\n", "a-not-a", "both kinds served, not none to the second"),
        ("served,answer,count\na,a,x\nnot-a,a,1\n", "a-not-a", "line 2: count must be a whole"),
        ("served,answer,assessor\na,a,\nnot-a,a,b\n", "a-not-a", "line 2: assessor is empty"),
        ("served,said\na,a\n", "a-not-a", "line 1: needs the columns served, answer"),
    ],
)
def test_an_impossible_file_exits_with_2_and_says_what_is_wrong(tmp_path, text, design, message):
    result = run(tmp_path, text, "--design", design)
    assert (result.exit_code, result.stdout) == (2, "")
    assert message in result.stderr


@pytest.mark.parametrize(
    ("options", "message"),
    [
        ((), "--design"),
        (("--design", "yes-no"), "--design"),
        (("--design", "a-not-a", "--level", "0"), "level must be above 0 and below 1, not 0.0"),
    ],
)
def test_impossible_options_are_refused(tmp_path, options, message):
    result = run(tmp_path, A_NOT_A, *options)
    assert (result.exit_code, result.stdout) == (2, "")
    assert message in result.stderr


def test_the_help_names_every_column():
    shown = CliRunner().invoke(yes_no, ["--help"]).stdout
    assert all(f"  {name} " in shown for name in ("served", "answer", "assessor", "count"))


def test_the_command_loads_without_scientific_libraries():
    code = "import server.cli.analyse.yes_no, sys; print({'scipy', 'numpy'} & sys.modules.keys())"
    command = [sys.executable, "-c", code]
    loaded = subprocess.run(command, capture_output=True, text=True, check=True)
    assert loaded.stdout.strip() == "set()"
