import json
import subprocess
import sys

import pytest
from click.testing import CliRunner, Result

from server.cli.plan.methods import plan
from server.methods.registry import COUNTED
from server.stats.power import power_curve

MEMBERS = (
    "method chance alpha power share d_prime trials critical achieved_alpha "
    "achieved_power trials_stable"
)
WITHOUT_D_PRIME = [name for name, method in COUNTED.items() if method.model.without_d_prime]


def run(line: str) -> Result:
    return CliRunner().invoke(plan, line.split())


def find(line: str) -> dict[str, object]:
    return json.loads(run(f"{line} --json").stdout, parse_constant=pytest.fail)


def refusal(result: Result) -> str:
    return result.stderr.strip().splitlines()[-1]


@pytest.mark.parametrize("name", COUNTED)
def test_a_plan_gives_one_object_with_these_members(name):
    found = find(f"{name} --share 0.5")
    assert list(found) == MEMBERS.split()
    assert found["method"] == name


def test_a_plan_takes_five_and_eighty_percent_unless_told_otherwise():
    found = find("triangle --dprime 1")
    assert (found["alpha"], found["power"]) == (0.05, 0.8)


@pytest.mark.parametrize(
    ("line", "first", "stable"),
    [
        # Ennis & Jesionka (2011), abstract: 202 and 61 at d' = 1; stable numbers and the
        # other methods recomputed.
        ("triangle --dprime 1", 202, 220),
        ("tetrad --dprime 1", 61, 65),
        ("duo-trio --dprime 1 --power 0.9", 319, 334),
        ("2-afc --dprime 1 --alpha 0.1", 19, 19),
        ("3-afc --dprime 1", 16, 22),
        # ISO 4120 Table A.3, alpha 0.05, beta 0.20, pd 50 % (from memory, recomputed).
        ("triangle --alpha 0.05 --power 0.8 --share 0.5", 16, 16),
        # pd 50 %, both risks 0.05: the table's 23, stable from 29.
        ("triangle --alpha 0.05 --power 0.95 --share 0.5", 23, 29),
        # Cohen (1992), A power primer, Table 2, sign test, 75 % against 50 %, two-sided
        # (from memory): 30. Stable number recomputed.
        ("paired-preference --share 0.5", 30, 35),
    ],
)
def test_plans_equal_published_numbers(line, first, stable):
    found = find(line)
    assert (found["trials"], found["trials_stable"]) == (first, stable)


@pytest.mark.parametrize(
    ("line", "trials"),
    [
        # ISO 10399 Table A.3 (from memory, recomputed), and a computed value.
        ("duo-trio --alpha 0.05 --power 0.9 --share 0.3", 93),
        ("two-out-of-five --alpha 0.05 --power 0.9 --share 0.5", 8),
    ],
)
def test_first_numbers_equal_tables(line, trials):
    assert find(line)["trials"] == trials


@pytest.mark.parametrize("name", ["paired-comparison", "paired-preference"])
def test_two_sided_methods_are_planned_with_both_tails(name):
    found = find(f"{name} --share 0.4")
    expected = power_curve(found["trials"], 0.5, 0.05, [0.5, 0.7], sided="two")
    achieved = (found["achieved_alpha"], found["achieved_power"])
    assert achieved == pytest.approx(expected.tolist(), rel=1e-12)


def test_a_share_and_its_distance_give_the_same_plan():
    by_distance = find("triangle --dprime 1.5")
    by_share = find(f"triangle --share {by_distance['share']!r}")
    assert by_share["d_prime"] == pytest.approx(by_distance["d_prime"], abs=1e-8)
    assert by_share["trials"] == by_distance["trials"]


def test_a_share_of_everybody_has_no_distance():
    found = find("triangle --share 1")
    assert (found["d_prime"], found["trials"]) == (None, 3)
    assert "d′ is not estimable: every answer would be correct." in run("triangle --share 1").stdout


@pytest.mark.parametrize("name", WITHOUT_D_PRIME)
def test_a_method_without_distance_is_planned_by_its_share_and_says_why(name):
    assert find(f"{name} --share 0.5")["d_prime"] is None
    assert COUNTED[name].model.without_d_prime in run(f"{name} --share 0.5").stdout


def test_a_plan_for_people_gives_both_numbers():
    output = run("triangle --dprime 1").stdout
    assert "202 answers, significant from 79 correct" in output
    assert "From 220 answers on" in output


def test_a_two_sided_plan_for_people_speaks_of_either_sample():
    output = run("paired-preference --share 0.5").stdout
    assert "75.0 % of answers for one of the samples" in output
    assert "21 for the same sample" in output


def test_a_number_of_answers_gives_what_it_can_find():
    # 13 of 24 needed (FAO document V7180E); share and d' recomputed by their own tests.
    found = find("triangle --trials 24")
    members = "method chance alpha power sided trials critical achieved_alpha share d_prime notes"
    assert list(found) == members.split()
    assert (found["critical"], round(found["share"], 4)) == (13, 0.4067)


def test_a_number_of_answers_undoes_a_plan():
    share = find("paired-comparison --trials 40 --power 0.9")["share"]
    again = find(f"paired-comparison --share {share + 1e-9!r} --power 0.9")
    assert again["trials"] <= 40


def test_a_number_too_small_to_be_significant_gives_nulls_and_a_sentence():
    found = find("triangle --trials 2")
    assert (found["critical"], found["share"], found["d_prime"]) == (None, None, None)
    assert run("triangle --trials 2").stdout.strip() == found["notes"][0]


def test_what_a_number_finds_is_told_as_share_proportion_and_distance():
    output = run("triangle --trials 24").stdout
    assert "a share of 0.407 (60.4 % correct answers, d′ 1.998) with power 0.8" in output


@pytest.mark.parametrize(
    ("line", "message"),
    [
        ("triangle", "one of --share, --dprime and --trials"),
        ("triangle --share 0.3 --dprime 1", "one of --share, --dprime and --trials"),
        ("triangle --share 0.3 --trials 24", "one of --share, --dprime and --trials"),
        ("triangle --share 0", "share must be above 0"),
        ("triangle --share 1.1", "share"),
        ("triangle --share nan", "share"),
        ("triangle --dprime 0", "d_prime must be above 0"),
        ("triangle --dprime -1", "d_prime"),
        ("triangle --dprime inf", "d_prime"),
        ("triangle --dprime 0.01", "100,000"),
        ("triangle --dprime 1e-9", "p_correct"),
        ("triangle --dprime 1 --alpha 1", "alpha"),
        ("triangle --dprime 1 --power 1", "power"),
        ("triangle --trials 0", "trials"),
        ("triangle --trials 2.5", "--trials"),
        ("two-out-of-five --dprime 1", "give --share instead of --dprime: d′ is not estimable"),
        ("paired-preference --dprime 1", "give --share instead of --dprime: d′ is not given"),
        ("sniff --dprime 1", "similarity, not 'sniff'"),
    ],
)
def test_impossible_plans_exit_with_2_and_say_what_is_wrong(line, message):
    result = run(line)
    assert (result.exit_code, result.stdout) == (2, "")
    assert message in refusal(result)


def test_an_unknown_method_is_answered_with_the_names_of_all():
    told = refusal(run("sniff --share 0.5"))
    assert all(name in told for name in [*COUNTED, "compare", "replicated"])


def test_no_method_at_all_is_answered_alike():
    result = run("")
    assert (result.exit_code, result.stdout) == (2, "")
    assert all(name in refusal(result) for name in [*COUNTED, "compare", "replicated"])


def test_the_help_lists_the_methods_in_their_order():
    output = run("--help").stdout
    places = [output.index(f"\n  {name} ") for name in [*COUNTED, "compare", "replicated"]]
    assert places == sorted(places)


def test_the_commands_load_without_scientific_libraries():
    code = "import server.cli.plan.methods, sys; print({'scipy', 'numpy'} & sys.modules.keys())"
    command = [sys.executable, "-c", code]
    loaded = subprocess.run(command, capture_output=True, text=True, check=True)
    assert loaded.stdout.strip() == "set()"
