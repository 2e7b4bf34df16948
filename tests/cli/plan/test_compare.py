import json

import pytest
from click.testing import CliRunner, Result

from server.cli.plan.methods import plan
from server.methods.registry import COUNTED


def run(line: str) -> Result:
    return CliRunner().invoke(plan, ["compare", *line.split()])


@pytest.fixture
def found() -> dict[str, object]:
    return json.loads(run("--dprime 1 --json").stdout, parse_constant=pytest.fail)


@pytest.fixture
def needs(found) -> dict[str, dict[str, object]]:
    return {need["method"]: need for need in found["methods"]}


def test_a_comparison_gives_one_object_with_these_members(found):
    assert list(found) == ["d_prime", "alpha", "power", "methods", "notes"]
    members = "method chance pc share trials trials_stable critical cups note"
    assert {tuple(need) for need in found["methods"]} == {tuple(members.split())}


def test_every_method_is_there_and_none_else(needs):
    assert needs.keys() == COUNTED.keys()


def test_first_numbers_equal_published_and_computed_ones(needs):
    # d' = 1, alpha 0.05, power 0.80: triangle and tetrad in Ennis & Jesionka (2011),
    # abstract; the others computed independently.
    found = {name: needs[name]["trials"] for name in list(COUNTED)[:5]}
    assert found == {"triangle": 202, "duo-trio": 228, "2-afc": 23, "3-afc": 16, "tetrad": 61}


def test_cups_are_those_of_all_answers(needs):
    assert (needs["tetrad"]["cups"], needs["triangle"]["cups"]) == (4 * 61, 3 * 202)


def test_methods_without_distance_have_nulls_and_the_reason(needs):
    need = needs["paired-preference"]
    assert {need[x] for x in ("pc", "share", "trials", "critical", "cups")} == {None}
    assert need["note"] == COUNTED["paired-preference"].model.without_d_prime


def test_directional_methods_say_what_they_ask_of_tasters(needs):
    directional = {name for name in needs if "name beforehand" in needs[name]["note"]}
    assert directional == {"2-afc", "3-afc", "paired-comparison"}


def test_the_cheapest_method_is_told_first():
    lines = run("--dprime 1").stdout.splitlines()
    assert [line.split()[0] for line in lines[2:8]] == [
        "2-afc",
        "3-afc",
        "paired-comparison",
        "tetrad",
        "triangle",
        "duo-trio",
    ]


def test_a_distance_beyond_the_search_leaves_a_sentence():
    output = run("--dprime 0.05").stdout
    assert "triangle, duo-trio, tetrad: The number of answers is not estimable" in output


@pytest.mark.parametrize(
    ("line", "message"),
    [
        ("", "--dprime"),
        ("--dprime 0", "d_prime must be above 0"),
        ("--dprime nan", "d_prime"),
        ("--dprime 1 --alpha 0", "alpha"),
        ("--dprime 1 --power 1", "power"),
    ],
)
def test_impossible_comparisons_exit_with_2_and_say_what_is_wrong(line, message):
    result = run(line)
    assert (result.exit_code, result.stdout) == (2, "")
    assert message in result.stderr.strip().splitlines()[-1]
