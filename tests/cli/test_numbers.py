import json
import subprocess
import sys

import click
import pytest
from click.testing import CliRunner, Result

from server.cli.numbers import counts, plan


def run(command: click.Command, line: str) -> Result:
    return CliRunner().invoke(command, line.split())


def refusal(result: Result) -> str:
    return result.stderr.strip().splitlines()[-1]


def test_counts_give_one_object_with_these_members():
    members = (
        "method correct trials chance alpha p_value critical detected pc pc_interval pd "
        "pd_interval pd_upper d_prime d_prime_se d_prime_interval level notes"
    )
    found = json.loads(run(counts, "triangle --correct 14 --trials 24 --json").stdout)
    assert list(found) == members.split()


def test_counts_of_a_worked_example_come_unrounded():
    # 14 of 24, in the manner of ASTM E1885: counts from memory, p and d' recomputed.
    found = json.loads(run(counts, "triangle --correct 14 --trials 24 --json").stdout)
    assert (found["critical"], found["detected"], found["chance"]) == (13, True, 1 / 3)
    assert (found["p_value"], found["d_prime"]) == pytest.approx(
        (0.0103406738, 1.89123506), abs=5e-9
    )


def test_level_and_alpha_are_taken():
    # 12 of 24 falls short of 13 at 0.05 (FAO document V7180E) and reaches 12 at 0.1.
    line = "triangle --correct 12 --trials 24 --alpha 0.1 --level 0.9 --json"
    found = json.loads(run(counts, line).stdout)
    assert (found["alpha"], found["level"], found["detected"]) == (0.1, 0.9, True)


@pytest.mark.parametrize("correct", range(4))
def test_the_object_is_strict_json_at_every_count(correct):
    output = run(counts, f"triangle --correct {correct} --trials 3 --json").stdout
    assert json.loads(output, parse_constant=pytest.fail)["correct"] == correct


def test_everything_correct_gives_nulls_and_a_sentence():
    found = json.loads(run(counts, "triangle --correct 24 --trials 24 --json").stdout)
    assert (found["d_prime"], found["d_prime_interval"][1]) == (None, None)
    assert len(found["notes"]) == 1


def test_counts_for_people_say_what_was_found_and_what_may_remain():
    output = run(counts, "triangle --correct 7 --trials 12").stdout
    assert "A difference was not detected." in output
    assert "Largest such share the data still allow" in output


def test_a_plan_gives_one_object_with_these_members():
    members = (
        "method chance alpha power share d_prime trials critical achieved_alpha "
        "achieved_power trials_stable"
    )
    found = json.loads(run(plan, "triangle --dprime 1 --json").stdout)
    assert list(found) == members.split()


def test_a_plan_takes_five_and_eighty_percent_unless_told_otherwise():
    found = json.loads(run(plan, "triangle --dprime 1 --json").stdout)
    assert (found["alpha"], found["power"]) == (0.05, 0.8)


@pytest.mark.parametrize(
    ("line", "first", "stable"),
    [
        # Ennis & Jesionka (2011), abstract: 202 at d' = 1; stable number recomputed.
        ("triangle --dprime 1 --json", 202, 220),
        # ISO 4120 Table A.3, alpha 0.05, beta 0.20, pd 50 % (from memory, recomputed).
        ("triangle --alpha 0.05 --power 0.8 --share 0.5 --json", 16, 16),
        # pd 50 %, both risks 0.05: the table's 23, stable from 29.
        ("triangle --alpha 0.05 --power 0.95 --share 0.5 --json", 23, 29),
    ],
)
def test_plans_equal_published_numbers(line, first, stable):
    found = json.loads(run(plan, line).stdout)
    assert (found["trials"], found["trials_stable"]) == (first, stable)


def test_a_share_and_its_distance_give_the_same_plan():
    by_distance = json.loads(run(plan, "triangle --dprime 1.5 --json").stdout)
    by_share = json.loads(run(plan, f"triangle --share {by_distance['share']!r} --json").stdout)
    assert by_share["d_prime"] == pytest.approx(by_distance["d_prime"], abs=1e-8)
    assert by_share["trials"] == by_distance["trials"]


def test_a_share_of_everybody_has_no_distance():
    found = json.loads(run(plan, "triangle --share 1 --json").stdout)
    assert (found["d_prime"], found["trials"]) == (None, 3)


def test_a_plan_for_people_gives_both_numbers():
    output = run(plan, "triangle --dprime 1").stdout
    assert "202 answers" in output
    assert "From 220 answers on" in output


@pytest.mark.parametrize(
    ("line", "message"),
    [
        ("triangle --correct 13 --trials 12", "correct"),
        ("triangle --correct -1 --trials 12", "correct"),
        ("triangle --correct 0 --trials 0", "trials"),
        ("triangle --correct 1.5 --trials 12", "--correct"),
        ("triangle --correct 8", "--trials"),
        ("triangle --correct 8 --trials 12 --alpha 0", "alpha"),
        ("triangle --correct 8 --trials 12 --alpha nan", "alpha"),
        ("triangle --correct 8 --trials 12 --level 1", "level"),
        ("sniff --correct 8 --trials 12", "one of triangle, not 'sniff'"),
    ],
)
def test_impossible_counts_exit_with_2_and_say_what_is_wrong(line, message):
    result = run(counts, line)
    assert (result.exit_code, result.stdout) == (2, "")
    assert message in refusal(result)


@pytest.mark.parametrize(
    ("line", "message"),
    [
        ("triangle", "either --share or --dprime"),
        ("triangle --share 0.3 --dprime 1", "either --share or --dprime"),
        ("triangle --share 0", "share must be above 0"),
        ("triangle --share 1.1", "share"),
        ("triangle --dprime 0", "d_prime must be above 0"),
        ("triangle --dprime -1", "d_prime"),
        ("triangle --dprime inf", "d_prime"),
        ("triangle --dprime 0.01", "100,000"),
        ("triangle --dprime 1e-9", "p_correct"),
        ("triangle --dprime 1 --alpha 1", "alpha"),
        ("triangle --dprime 1 --power 1", "power"),
        ("sniff --dprime 1", "one of triangle, not 'sniff'"),
    ],
)
def test_impossible_plans_exit_with_2_and_say_what_is_wrong(line, message):
    result = run(plan, line)
    assert (result.exit_code, result.stdout) == (2, "")
    assert message in refusal(result)


def test_the_commands_load_without_scientific_libraries():
    code = "import server.cli.numbers, sys; print({'scipy', 'numpy'} & sys.modules.keys())"
    command = [sys.executable, "-c", code]
    loaded = subprocess.run(command, capture_output=True, text=True, check=True)
    assert loaded.stdout.strip() == "set()"
