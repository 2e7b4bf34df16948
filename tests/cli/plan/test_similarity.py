import json

import pytest
from click.testing import CliRunner, Result

from server.cli.plan.methods import plan


def run(line: str) -> Result:
    return CliRunner().invoke(plan, ["similarity", *line.split()])


@pytest.mark.parametrize(
    ("line", "trials"),
    # ISO 4120 Table A.3 read from its other side: alpha is the risk of failing when nobody
    # notices, 1 - power here (table from memory, recomputed).
    [
        ("triangle --share 0.5 --beta 0.05 --power 0.95 --json", 23),
        ("triangle --share 0.3 --beta 0.05 --power 0.8 --json", 39),
    ],
)
def test_numbers_are_those_of_the_table_of_assessors(line, trials):
    found = json.loads(run(line).stdout, parse_constant=pytest.fail)
    assert found["trials"] == trials


def test_the_object_has_these_members():
    found = json.loads(run("duo-trio --share 0.3 --json").stdout)
    members = (
        "method chance limit beta power true_share trials most_correct achieved_beta "
        "achieved_power trials_stable notes"
    )
    assert list(found) == members.split()


def test_the_text_says_what_may_be_claimed_and_on_what_condition():
    told = run("triangle --share 0.3").stdout
    assert "fewer than 30% would notice" in told
    assert "Every assessor answers once" in told


@pytest.mark.parametrize(
    "line", ["triangle", "sniff --share 0.3", "triangle --share 0", "triangle --share 0.3 --beta 1"]
)
def test_impossible_plans_are_refused(line):
    assert run(line).exit_code == 2
