import json

import pytest
from click.testing import CliRunner, Result

from server.cli.plan.methods import plan

PANEL = "triangle --assessors 12 --replicates 6 --share 0.3 --gamma 0.3"


def run(line: str) -> Result:
    return CliRunner().invoke(plan, ["replicated", *line.split()])


def test_a_panel_gives_one_object_with_these_members():
    members = (
        "method assessors replicates chance alpha share gamma trials critical achieved_alpha "
        "power binomial_power variance_inflation notes"
    )
    found = json.loads(run(f"{PANEL} --json").stdout, parse_constant=pytest.fail)
    assert list(found) == members.split()


def test_twelve_assessors_with_six_triangles_equal_computed_values():
    # Computed independently: critical 32 of 72, level .0323502935, power .9046 by simulation.
    found = json.loads(run(f"{PANEL} --json").stdout)
    assert (found["critical"], found["variance_inflation"]) == (32, pytest.approx(1.5625))
    assert (found["achieved_alpha"], found["power"]) == (
        pytest.approx(0.0323502935, abs=5e-11),
        pytest.approx(0.9046, abs=2e-3),
    )


def test_a_panel_for_people_is_told_with_whom_it_speaks_about():
    output = run(PANEL).stdout
    assert "Significant from 32 correct" in output
    assert "these assessors on these cups" in output


def test_a_panel_too_small_gives_nulls_and_sentences():
    found = json.loads(
        run("triangle --assessors 1 --replicates 2 --share 1 --gamma 0 --json").stdout,
        parse_constant=pytest.fail,
    )
    assert (found["critical"], found["power"], len(found["notes"])) == (None, None, 3)


@pytest.mark.parametrize(
    ("line", "message"),
    [
        (PANEL.replace("12", "0"), "assessors"),
        (PANEL.replace("6", "0"), "replicates"),
        (PANEL.replace("12", "20000"), "20,000"),
        (PANEL.replace("--gamma 0.3", "--gamma 1.5"), "gamma"),
        (PANEL.replace("--share 0.3", "--share -1"), "share"),
        (f"{PANEL} --alpha 0", "alpha"),
        ("triangle --assessors 12 --replicates 6 --share 0.3", "--gamma"),
        (PANEL.replace("triangle", "paired-preference"), "not 'paired-preference'"),
        (PANEL.replace("triangle", "sniff"), "not 'sniff'"),
    ],
)
def test_impossible_panels_exit_with_2_and_say_what_is_wrong(line, message):
    result = run(line)
    assert (result.exit_code, result.stdout) == (2, "")
    assert message in result.stderr.strip().splitlines()[-1]
