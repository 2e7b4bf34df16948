import json
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from server.cli.analyse.compare import INDEPENDENT, SHARES_WITHIN_METHODS, compare

HEAD = "test,method,correct,trials\n"
CARTRIDGES = f"{HEAD}fresh,triangle,40,80\nflushed,triangle,52,80\n"


def run(tmp_path: Path, text: str, *options: str) -> Result:
    file = tmp_path / "tests.csv"
    file.write_text(text, encoding="utf-8")
    return CliRunner().invoke(compare, [str(file), *options])


def read(tmp_path: Path, text: str, *options: str) -> dict:
    output = run(tmp_path, text, *options, "--json").stdout
    return json.loads(output, parse_constant=pytest.fail)


def test_a_comparison_gives_one_object_with_these_members(tmp_path):
    found = read(tmp_path, CARTRIDGES)
    assert list(found) == ["level", "distances", "shares", "notes"]
    members = "tests mean mean_se wald common common_interval likelihood_ratio used p_value pairs"
    assert list(found["distances"]) == [*members.split(), "level", "notes"]
    members = "method chance tests equality pairs level notes"
    assert [list(one) for one in found["shares"]] == [members.split()]


def test_a_comparison_comes_unrounded_and_equals_computed_values(tmp_path):
    # 40 and 52 of 80: X² by the formula of Bi, Ennis & O'Mahony (1997), computed independently.
    found = read(tmp_path, CARTRIDGES)["distances"]
    assert found["wald"]["statistic"] == pytest.approx(3.576310393, abs=5e-10)
    assert (found["used"], found["p_value"]) == ("wald", pytest.approx(0.05860919, abs=5e-9))


def test_the_level_is_taken(tmp_path):
    wide, narrow = (
        read(tmp_path, CARTRIDGES, "--level", level)["distances"]["pairs"][0]["interval"]
        for level in ("0.99", "0.5")
    )
    assert wide[0] < narrow[0] < narrow[1] < wide[1]


def test_methods_are_compared_by_distance_and_shares_within_each(tmp_path):
    found = read(tmp_path, f"{CARTRIDGES}used,TETRAD,44,80\n")
    assert [one["test"] for one in found["distances"]["tests"]] == ["fresh", "flushed", "used"]
    assert [one["method"] for one in found["shares"]] == ["triangle"]
    assert SHARES_WITHIN_METHODS in found["notes"]


def test_a_test_without_a_distance_is_left_out_with_the_reason(tmp_path):
    found = read(tmp_path, f"{CARTRIDGES}used,two-out-of-five,20,40\n")
    assert [one["test"] for one in found["distances"]["tests"]] == ["fresh", "flushed"]
    assert "depends on how tasters group" in found["notes"][0]


@pytest.mark.parametrize("method", ["paired-preference", "paired-comparison"])
def test_two_sided_methods_are_compared_by_rates(tmp_path, method):
    found = read(tmp_path, f"{HEAD}fresh,{method},30,40\nflushed,{method},10,40\n")
    assert found["distances"] is None
    assert found["shares"][0]["pairs"][0]["p_value"] < 0.001
    assert found["shares"][0]["tests"][0]["pd"] is None


@pytest.mark.parametrize("low", ["0,80", "26,80", "80,80"])
def test_edges_give_strict_json_and_say_what_decides(tmp_path, low):
    found = read(tmp_path, f"{HEAD}fresh,triangle,{low}\nflushed,triangle,52,80\n")
    assert found["distances"]["used"] == "likelihood ratio"
    assert any("likelihood ratio decides" in note for note in found["notes"])


def test_a_comparison_for_people_names_the_pair_and_the_caution(tmp_path):
    output = run(tmp_path, CARTRIDGES).stdout
    assert "  fresh minus flushed: -0.767, limits -1.597 to 0.015; p = 0.0545" in output
    assert "All equal: p = 0.0586, Wald: chi-square 3.576, df 1" in output
    assert INDEPENDENT in output


@pytest.mark.parametrize("correct", [0, 26, 80])
def test_edges_are_told_to_people_in_words(tmp_path, correct):
    text = f"{HEAD}fresh,triangle,{correct},80\nflushed,triangle,80,80\n"
    output = run(tmp_path, text).stdout
    assert "None" not in output
    assert "d′ not estimable, at least 5." in output


@pytest.mark.parametrize(
    ("text", "message"),
    [
        (f"{HEAD}fresh,triangle,40,80\n", "comparing takes two tests or more, found 1"),
        (f"{HEAD}a,sniff,4,8\nb,triangle,9,8\n", "line 2: method must be one of triangle"),
        (f"{HEAD}a,sniff,4,8\nb,triangle,9,8\n", "line 3: correct must be at most trials (8)"),
        (f"{CARTRIDGES}fresh,triangle,4,8\n", "line 4: test 'fresh' stands on line 2 already"),
        (f"{CARTRIDGES},triangle,4,8\n", "line 4: test is empty"),
        (f"{CARTRIDGES}used,triangle,0,0\n", "line 4: trials must be a whole number, 1 or more"),
        ("test,correct,trials\na,4,8\nb,4,8\n", "line 1: needs the columns test, method"),
        (
            f"{HEAD}a,triangle,4,8\nb,two-out-of-five,4,8\n",
            "there are no two tests to compare. Two-out-of-five test: d′ is not estimable",
        ),
    ],
)
def test_an_impossible_file_exits_with_2_and_says_what_is_wrong(tmp_path, text, message):
    result = run(tmp_path, text)
    assert (result.exit_code, result.stdout) == (2, "")
    assert message in result.stderr


def test_an_impossible_level_is_refused(tmp_path):
    result = run(tmp_path, CARTRIDGES, "--level", "1")
    assert result.exit_code == 2
    assert "level must be above 0 and below 1, not 1.0" in result.stderr


def test_the_help_names_every_column():
    shown = CliRunner().invoke(compare, ["--help"]).stdout
    assert all(f"  {name} " in shown for name in ("test", "method", "correct", "trials"))


def test_the_command_loads_without_scientific_libraries():
    code = "import server.cli.analyse.compare, sys; print({'scipy', 'numpy'} & sys.modules.keys())"
    command = [sys.executable, "-c", code]
    loaded = subprocess.run(command, capture_output=True, text=True, check=True)
    assert loaded.stdout.strip() == "set()"
