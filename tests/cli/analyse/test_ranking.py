import json
import subprocess
import sys

import pytest
from click.testing import CliRunner

from server.cli.analyse.ranking import ranking

# A tea bar has six people order tea by how fresh its water tastes.
TEA = (
    "assessor,new cartridge,flushed,old\n"
    "ann,1,2,3\nbo,1,2.5,2.5\ncy,2,1,3\ndi,1,2,3\ned,1,3,2\nfi,1,2,3\n"
)


@pytest.fixture
def run(tmp_path):
    """Run the command on a table."""

    def run(text, *options):
        file = tmp_path / "ranks.csv"
        file.write_text(text, encoding="utf-8")
        return CliRunner().invoke(ranking, [str(file), *options])

    return run


def test_rankings_give_one_object_with_these_members(run):
    members = (
        "method assessors samples ranks alpha rank_sums tied p_value distribution detected "
        "friedman signs page trend_detected differences notes"
    )
    assert list(json.loads(run(TEA, "--json").stdout)) == members.split()


def test_a_table_of_ten_tasters_and_three_beers_comes_unrounded(run):
    # Scores and the statistic without correction for ties, 10.55, from a handbook of
    # nonparametric methods (read); corrected and p recomputed.
    ranks = ("1 2 3/1 3 2/1 2.5 2.5/1 2 3/1 2 3/1.5 1.5 3/1 2 3/1 2.5 2.5/1 2 3/3 1 2").replace(
        " ", ","
    )
    rows = "".join(f"t{place},{row}\n" for place, row in enumerate(ranks.split("/")))
    found = json.loads(run(f"assessor,a,b,c\n{rows}", "--json").stdout)
    assert found["rank_sums"] == [12.5, 20.5, 27]
    assert found["friedman"]["chi_square"]["statistic"] == pytest.approx(11.40540541, abs=5e-9)
    assert found["friedman"]["statistic_uncorrected"] == pytest.approx(10.55, abs=1e-9)


def test_a_predicted_order_is_tested_by_page(run):
    found = json.loads(run(TEA, "--order", "new cartridge, flushed,old", "--json").stdout)
    assert found["page"]["order"] == ["new cartridge", "flushed", "old"]
    assert (found["page"]["statistic"], found["trend_detected"]) == (81.5, True)


def test_the_level_is_taken_by_the_test_and_by_the_pairs(run):
    found = json.loads(run(TEA, "--alpha", "0.01", "--json").stdout)
    assert (found["alpha"], found["detected"]) == (0.01, False)
    assert found["differences"]["alpha"] == 0.01


@pytest.mark.parametrize(
    "text",
    [
        "assessor,a,b,c\nann,2,2,2\n",
        "assessor,a,b,c\nann,1,2,3\n",
        "assessor,a,b\nann,1.5,1.5\nbo,1.5,1.5\n",
        "assessor,a,b\nann,1,2\nbo,1,2\n",
        "assessor,a,b,c,d,e,f,g,h,i\nann,1,2,3,4,5,6,7,8,9\nbo,1,2,3,4,5,6,7,8,9\n",
    ],
    ids=["all tied", "one assessor", "two samples tied", "all alike", "too many samples"],
)
def test_the_object_is_strict_json_at_every_edge(run, text):
    output = run(text, "--json").stdout
    assert json.loads(output, parse_constant=pytest.fail)["method"] == "ranking"


@pytest.mark.parametrize("text", ["assessor,a,b\nann,1.5,1.5\n", "assessor,a,b\nann,1,2\n", TEA])
def test_every_case_is_told_to_people_too(run, text):
    result = run(text, "--order", text.splitlines()[0].removeprefix("assessor,"))
    assert (result.exit_code, "rank 1 is first" in result.stdout) == (0, True)


def test_people_are_told_sums_tests_and_pairs(run):
    output = run(TEA).stdout
    assert "Rank sums: new cartridge 7, flushed 12.5, old 16.5" in output
    assert "A difference was detected at alpha 0.05 (exact)." in output
    assert "new cartridge before old by 9.5 (beyond both)" in output


def test_people_are_told_which_of_two_came_first_how_often(run):
    output = run("assessor,a,b\nann,1,2\nbo,1,2\ncy,2,1\n").stdout
    assert "a before b: 2; b before a: 1; sign test p = 1.0000" in output


def test_equal_rank_sums_are_told_as_such(run):
    assert "a and b have equal rank sums" in run("assessor,a,b\nann,1,2\nbo,2,1\n").stdout


def test_the_columns_stand_in_the_help():
    output = CliRunner().invoke(ranking, ["--help"]).stdout
    assert "  assessor  who ranked, name or code\n" in output
    assert "Rank 1 is the first" in output


@pytest.mark.parametrize(
    ("text", "options", "told"),
    [
        (TEA, ["--order", "old,flushed"], "order must name each of new cartridge, flushed, old"),
        (TEA, ["--order", ""], "order must name each"),
        (TEA, ["--alpha", "0"], "alpha must be above 0 and below 1, not 0.0"),
        (TEA, ["--alpha", "nan"], "alpha"),
        (TEA.replace("cy,2,1,3", "cy,2,1,1"), [], "line 4: cy: ranks must be 1 to 3"),
        ("assessor,sample,rank\nann,a,1\n", [], "two or more are needed"),
    ],
)
def test_impossible_rankings_exit_with_2_and_say_what_is_wrong(run, text, options, told):
    result = run(text, *options)
    assert (result.exit_code, result.stdout) == (2, "")
    assert told in result.stderr.strip().splitlines()[-1]


def test_the_command_loads_without_scientific_libraries():
    code = "import server.cli.analyse.ranking, sys; print({'scipy', 'numpy'} & sys.modules.keys())"
    command = [sys.executable, "-c", code]
    loaded = subprocess.run(command, capture_output=True, text=True, check=True)
    assert loaded.stdout.strip() == "set()"
