import json
import subprocess
import sys

import pytest
from click.testing import CliRunner

from server.cli.analyse.tick_all import tick_all

# A tea bar: six people, water through three states of its filter cartridge.
TEA = "assessor,sample,papery,sweet\n" + "".join(
    f"{who},{what},{papery},{sweet}\n"
    for who in ("ann", "bo", "cy", "di", "ed", "fi", "gil")
    for what, papery, sweet in (("fresh", 1, 0), ("flushed", 0, int(who > "c")), ("old", 1, 0))
)
# Ten users and three programs; data, Q 8.2222 and p .01639 of a course page (read).
ROWS = ("101", "001", "010", "011", "001", "111", "001", "011", "011", "011")
PROGRAMS = "assessor,sample,word,ticked\n" + "".join(
    f"u{at},{name},works,{answer}\n"
    for at, row in enumerate(ROWS)
    for name, answer in zip("ABC", row, strict=True)
)


@pytest.fixture
def run(tmp_path):
    """Run the command on a table."""

    def run(text, *options):
        file = tmp_path / "ticks.csv"
        file.write_text(text, encoding="utf-8")
        return CliRunner().invoke(tick_all, [str(file), *options])

    return run


def test_ticks_give_one_object_with_these_members(run):
    of_all = "method assessors samples alpha words notes"
    of_a_word = (
        "assessors ticks shares chi_square p_exact p_value distribution p_holm finding lead "
        "pairs notes"
    )
    found = json.loads(run(TEA, "--json").stdout)
    assert list(found) == of_all.split()
    assert list(found["words"]["papery"]) == of_a_word.split()


def test_published_answers_come_unrounded(run):
    word = json.loads(run(PROGRAMS, "--json").stdout)["words"]["works"]
    assert word["ticks"] == {"A": 2, "B": 6, "C": 9}
    assert word["chi_square"]["statistic"] == pytest.approx(8.2222, abs=5e-5)
    assert word["chi_square"]["p_value"] == pytest.approx(0.01639, abs=5e-6)


def test_a_word_that_differs_is_told_with_its_pairs(run):
    told = run(TEA).stdout
    assert "papery: differs between the samples (Q 14.000, df 2, p = 0.0014 exact" in told
    assert "fresh only 7, flushed only 0: p = 0.0469 among all pairs" in told


def test_a_finding_without_a_pair_says_so(run):
    found = run(TEA.replace("gil,", "hal,").replace("hal,fresh,1", "hal,fresh,0")).stdout
    assert "no pair of samples stands apart by itself" in found


def test_the_level_decides_over_all_words_together(run):
    assert "papery: a lead, not a finding" in run(TEA, "--alpha", "0.002").stdout
    assert json.loads(run(TEA, "--alpha", "0.002", "--json").stdout)["alpha"] == 0.002


@pytest.mark.parametrize(
    "text",
    [
        "assessor,sample,papery\nann,A,0\nann,B,0\n",
        "assessor,sample,papery\nann,A,1\nbo,B,0\n",
        "assessor,sample,papery\nann,A,1\nann,B,0\n",
    ],
    ids=["nothing ticked", "nobody complete", "one assessor"],
)
def test_every_edge_is_strict_json_and_told_to_people(run, text):
    assert json.loads(run(text, "--json").stdout, parse_constant=pytest.fail)["words"]
    assert "papery: no difference detected" in run(text).stdout


@pytest.mark.parametrize(
    ("text", "options", "told"),
    [
        ("assessor,sample,papery\nann,A,3\n", [], "line 2: papery must be 1 or 0, not '3'"),
        (TEA, ["--alpha", "2"], "alpha must be above 0 and below 1, not 2.0"),
    ],
)
def test_what_cannot_be_analysed_is_refused(run, text, options, told):
    result = run(text, *options)
    assert (result.exit_code, told in result.output) == (2, True)


def test_statistics_load_only_when_they_are_asked_for():
    code = "import sys, server.cli.analyse.tick_all; print({'numpy', 'scipy'} & sys.modules.keys())"
    loaded = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True
    )
    assert loaded.stdout.strip() == "set()"
