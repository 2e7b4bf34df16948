import json
import subprocess
import sys

import pytest
from click.testing import CliRunner, Result

from server.cli.plan.sequential import sequential

PLAN = "triangle --share 0.5 --beta 0.1"


def run(options: str) -> Result:
    return CliRunner().invoke(sequential, options.split())


def refusal(result: Result) -> str:
    return result.stderr.strip().splitlines()[-1]


def test_a_plan_gives_one_object_with_these_members():
    members = (
        "method chance share d_prime p_correct alpha beta block cap at_cap lines smallest_cap "
        "smallest_cap_stable at_guessing at_planned at_midway stops notes"
    )
    assert list(json.loads(run(f"{PLAN} --json").stdout)) == members.split()


def test_the_plan_comes_unrounded():
    # Chance 1/3, planned 2/3, alpha 0.05, beta 0.1; computed independently.
    found = json.loads(run(f"{PLAN} --json").stdout)
    assert found["at_guessing"]["expected_trials"] == pytest.approx(11.207436, abs=5e-7)
    assert found["at_planned"]["expected_trials"] == pytest.approx(13.362035, abs=5e-7)
    assert found["at_midway"]["expected_trials"] == pytest.approx(20, abs=1e-9)
    stops = {stop["trials"]: (stop["low"], stop["high"]) for stop in found["stops"]}
    assert (stops[3], stops[4], stops[20]) == ((None, None), (0, None), (8, 13))


def test_stops_are_listed_round_by_round_up_to_the_cap():
    found = json.loads(run(f"{PLAN} --block 4 --cap 16 --json").stdout)
    assert [stop["trials"] for stop in found["stops"]] == [4, 8, 12, 16]
    assert not any("first 60" in note for note in found["notes"])


def test_a_plan_without_a_cap_says_that_the_list_ends_first():
    found = json.loads(run(f"{PLAN} --json").stdout)
    assert len(found["stops"]) == 60
    assert "Listed are the first 60 rounds; the lines go on." in found["notes"]


def test_the_smallest_cap_does_not_depend_on_the_cap_given():
    capped, free = (json.loads(run(f"{PLAN} {x} --json").stdout) for x in ("--cap 10", ""))
    assert capped["smallest_cap"] == free["smallest_cap"] > 10


def test_why_there_is_no_smallest_cap_is_told():
    # The true alpha is 7/127 whatever the cap; see the tests of the exact characteristics.
    found = json.loads(run("triangle --share 0.5 --beta 0.2 --json").stdout)
    assert found["smallest_cap"] is None
    assert any(note.startswith("No cap keeps both risks") for note in found["notes"])


def test_too_small_a_size_is_planned_without_exact_risks():
    found = json.loads(run("triangle --share 0.001 --block 1000 --json").stdout)
    assert (found["at_guessing"], found["smallest_cap"]) == (None, None)
    assert any(note.startswith("The exact risks are not given") for note in found["notes"])


def test_people_read_when_it_may_stop_and_how_long_it_takes():
    output = run(f"{PLAN} --block 4 --cap 24").stdout
    assert "judged after every 4 answers, cap 24 (between the lines there: no decision)" in output
    assert "Smallest cap that keeps both risks: 40 answers" in output
    assert "Midway " in output


@pytest.mark.parametrize("word", ["prove", "safe", "same", "complies", "similar", "identical"])
def test_nothing_is_claimed_beyond_the_numbers(word):
    assert word not in run(PLAN).stdout.lower()


@pytest.mark.parametrize(
    ("options", "message"),
    [
        ("sniff --share 0.5", "method must be one of triangle"),
        ("paired-comparison --share 0.5", "method must be one-sided for a sequential test"),
        ("triangle", "give either --share or --dprime"),
        ("triangle --share 0.5 --block 0", "block must be a whole number from 1 to 1,000,000"),
        ("triangle --share 0.5 --cap 0", "cap must be a whole number from 1 to 1,000,000"),
    ],
)
def test_impossible_plans_exit_with_2_and_say_what_is_wrong(options, message):
    result = run(options)
    assert (result.exit_code, result.stdout) == (2, "")
    assert message in refusal(result)


def test_the_command_loads_without_scientific_libraries():
    code = "import server.cli.plan.sequential, sys;"
    code += "print({'scipy', 'numpy'} & sys.modules.keys())"
    command = [sys.executable, "-c", code]
    loaded = subprocess.run(command, capture_output=True, text=True, check=True)
    assert loaded.stdout.strip() == "set()"
