import json
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from server.cli.analyse.jar import jar

# Synthetic: liking and answers 1 to 5; results recomputed independently (two programs).
ROWS = "7,3 8,3 6,2 5,2 7,3 4,4 8,3 6,3 5,4 6,4 7,3 4,2 5,1 8,3 6,3 3,5 7,3 6,2 9,3 5,4"
PEOPLE = ROWS.split()
TABLE = "assessor,liking,jar\n" + "\n".join(f"{at},{row}" for at, row in enumerate(PEOPLE, 1))
TWO = "assessor,liking,jar,sample\n" + "\n".join(
    f"{at},{row},{sample}" for sample in ("fresh", "flushed") for at, row in enumerate(PEOPLE, 1)
)


def run(tmp_path: Path, text: str, *options: str) -> Result:
    file = tmp_path / "answers.csv"
    file.write_text(text, encoding="utf-8")
    return CliRunner().invoke(jar, [str(file), *options])


def read(tmp_path: Path, text: str, *options: str) -> dict:
    output = run(tmp_path, text, *options, "--json").stdout
    return json.loads(output, parse_constant=pytest.fail)


def test_the_computed_example_comes_unrounded(tmp_path):
    found = read(tmp_path, TABLE)
    drops = (found["low"]["drop"], found["high"]["drop"], found["penalty"])
    assert drops == pytest.approx((2.1, 2.7, 2.4), rel=1e-12)
    assert found["welch"]["p_value"] == pytest.approx(3.06636849e-05, rel=5e-10)


def test_an_analysis_gives_one_object_with_these_members(tmp_path):
    members = (
        "points right_answer counts n mean low right high penalty penalty_interval welch pooled "
        "level notes"
    )
    assert list(read(tmp_path, TABLE)) == members.split()


def test_samples_come_each_with_their_own_and_p_adjusted_for_their_number(tmp_path):
    found = read(tmp_path, TWO)["samples"]
    assert list(found) == ["fresh", "flushed"]
    assert found["fresh"]["p_adjusted"] == pytest.approx(2 * found["fresh"]["welch"]["p_value"])


def test_a_scale_around_0_is_taken(tmp_path):
    text = "assessor,liking,jar\na,5,-2\nb,8,0\nc,7,0\nd,6,1\n"
    found = read(tmp_path, text, "--right", "0")
    assert (found["low"]["drop"], found["high"]["drop"]) == (2.5, 1.5)


def test_longer_scales_are_taken(tmp_path):
    text = "assessor,liking,jar\na,5,7\nb,8,4\nc,7,4\n"
    assert read(tmp_path, text, "--points", "7")["counts"] == [0, 0, 0, 2, 0, 0, 1]


def test_the_level_is_taken(tmp_path):
    wide, narrow = (read(tmp_path, TABLE, "--level", level) for level in ("0.99", "0.5"))
    assert wide["penalty_interval"][0] < narrow["penalty_interval"][0]


def test_an_analysis_for_people_says_drops_penalty_and_what_a_drop_is_not(tmp_path):
    output = run(tmp_path, TABLE).stdout
    assert "20 people, mean liking 6.100" in output
    assert "low: 5, 25.0 %, mean liking 5.200, drop 2.100, limits" in output
    assert "Penalty 2.400, limits 1.487 to 3.313; Welch t 5.522 on 17.96" in output
    assert "not that they would like it better changed" in output


def test_several_samples_are_told_by_name(tmp_path):
    output = run(tmp_path, TWO).stdout
    assert "fresh: 20 people" in output
    assert "Over 2 samples (Holm): p < 0.0001" in output


@pytest.mark.parametrize("answers", ["1 2 4", "3 3 3", "3 1", "3", "3 3 1 1"])
def test_edges_give_strict_json_and_words(tmp_path, answers):
    rows = [f"{at},5,{answer}" for at, answer in enumerate(answers.split())]
    text = "\n".join(["assessor,liking,jar", *rows])
    assert len(read(tmp_path, text)["notes"]) > 2
    assert "None" not in run(tmp_path, text).stdout


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("assessor,liking,jar\na,5,6\n", "line 2: jar must be from 1 to 5, not 6"),
        ("assessor,liking,jar\na,5,2.5\n", "line 2: jar must be a whole number, not '2.5'"),
        ("assessor,liking,jar\na,,3\n", "line 2: liking is empty"),
        ("assessor,liking,jar\na,5,3\na,6,3\n", "line 3: assessor 'a' stands on line 2 already"),
        (
            "assessor,liking,jar,sample\na,5,3,X\na,6,3,X\n",
            "line 3: assessor 'a' with sample 'X' stands on line 2 already",
        ),
        ("assessor,liking\na,5\n", "line 1: needs the columns assessor, liking, jar"),
    ],
)
def test_an_impossible_file_exits_with_2_and_says_what_is_wrong(tmp_path, text, message):
    result = run(tmp_path, text)
    assert (result.exit_code, result.stdout) == (2, "")
    assert message in result.stderr


@pytest.mark.parametrize(
    ("options", "message"),
    [
        (("--points", "4"), "points must be odd, 3 or more, not 4"),
        (("--level", "0"), "level must be above 0 and below 1, not 0.0"),
    ],
)
def test_impossible_options_are_refused(tmp_path, options, message):
    result = run(tmp_path, TABLE, *options)
    assert (result.exit_code, result.stdout) == (2, "")
    assert message in result.stderr


def test_the_help_names_every_column():
    shown = CliRunner().invoke(jar, ["--help"]).stdout
    assert all(f"  {name} " in shown for name in ("assessor", "liking", "jar", "sample"))


def test_the_command_loads_without_scientific_libraries():
    code = "import server.cli.analyse.jar, sys; print({'scipy', 'numpy'} & sys.modules.keys())"
    command = [sys.executable, "-c", code]
    loaded = subprocess.run(command, capture_output=True, text=True, check=True)
    assert loaded.stdout.strip() == "set()"
