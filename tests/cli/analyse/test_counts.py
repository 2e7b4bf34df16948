import json
import re
import subprocess
import sys
from typing import Any

import click
import pytest
from click.testing import CliRunner, Result

from server.cli.analyse.counts import counts

METHODS = (
    "triangle",
    "duo-trio",
    "2-afc",
    "3-afc",
    "tetrad",
    "two-out-of-five",
    "paired-comparison",
    "paired-preference",
)


def run(command: click.Command, line: str) -> Result:
    return CliRunner().invoke(command, line.split())


def refusal(result: Result) -> str:
    return result.stderr.strip().splitlines()[-1]


def analyse(line: str) -> dict[str, Any]:
    return json.loads(run(counts, f"{line} --json").stdout, parse_constant=pytest.fail)


@pytest.mark.parametrize("method", METHODS)
def test_counts_of_every_method_give_one_object_with_these_members(method):
    members = (
        "method correct trials chance alpha p_value critical detected pc pc_interval pd "
        "pd_interval pd_upper d_prime d_prime_se d_prime_interval level notes"
    )
    found = analyse(f"{method} --correct 14 --trials 24")
    assert list(found) == members.split()
    assert found["method"] == method


def test_counts_of_a_worked_example_come_unrounded():
    # 14 of 24, in the manner of ASTM E1885: counts from memory, p and d' recomputed.
    found = analyse("triangle --correct 14 --trials 24")
    assert (found["critical"], found["detected"], found["chance"]) == (13, True, 1 / 3)
    assert (found["p_value"], found["d_prime"]) == pytest.approx(
        (0.0103406738, 1.89123506), abs=5e-9
    )


@pytest.mark.parametrize(
    ("method", "chance", "critical"),
    [
        # At 24 answers and alpha 0.05. ISO 4120 and FAO document V7180E (triangle, printed);
        # ISO 10399 and ISO 5495, Table A.1 (chance 1/2, printed); ISO 5495, Table A.2
        # (two-sided, from memory); two-out-of-five recomputed.
        ("triangle", 1 / 3, 13),
        ("3-afc", 1 / 3, 13),
        ("tetrad", 1 / 3, 13),
        ("duo-trio", 1 / 2, 17),
        ("2-afc", 1 / 2, 17),
        ("two-out-of-five", 1 / 10, 6),
        ("paired-comparison", 1 / 2, 18),
        ("paired-preference", 1 / 2, 18),
    ],
)
def test_each_method_is_tested_against_its_own_guessing(method, chance, critical):
    found = analyse(f"{method} --correct 14 --trials 24")
    assert (found["chance"], found["critical"]) == (chance, critical)


def test_two_sided_methods_take_the_count_of_either_sample():
    one = analyse("paired-preference --correct 6 --trials 24")
    other = analyse("paired-preference --correct 18 --trials 24")
    assert one["detected"] is other["detected"] is True
    assert (one["p_value"], one["pd"]) == (other["p_value"], other["pd"])


@pytest.mark.parametrize("method", ["two-out-of-five", "paired-preference"])
def test_methods_without_distance_give_null_and_say_why(method):
    found = analyse(f"{method} --correct 14 --trials 24")
    assert (found["d_prime"], found["d_prime_se"], found["d_prime_interval"]) == (None, None, None)
    assert any(note.startswith("d′ is not") for note in found["notes"])


def test_level_and_alpha_are_taken():
    # 12 of 24 falls short of 13 at 0.05 (FAO document V7180E) and reaches 12 at 0.1.
    found = analyse("triangle --correct 12 --trials 24 --alpha 0.1 --level 0.9")
    assert (found["alpha"], found["level"], found["detected"]) == (0.1, 0.9, True)


@pytest.mark.parametrize("method", METHODS)
@pytest.mark.parametrize("correct", range(4))
def test_the_object_is_strict_json_at_every_count(method, correct):
    found = analyse(f"{method} --correct {correct} --trials 3 --limits normal --similarity 0.3")
    assert found["correct"] == correct


def test_everything_correct_gives_nulls_and_a_sentence():
    found = analyse("triangle --correct 24 --trials 24")
    assert (found["d_prime"], found["d_prime_interval"][1]) == (None, None)
    assert len(found["notes"]) == 1


def test_normal_limits_come_beside_the_exact_ones():
    # Triangle, 30 of 60, one-sided: both computed independently, the normal ones by the form
    # in ISO 4120 and ASTM E1885 (from memory).
    found = analyse("triangle --correct 30 --trials 60 --limits normal")["share_limits"]
    assert list(found) == ["exact", "normal"]
    assert [found[form]["raw"]["upper"] for form in found] == pytest.approx(
        [0.41888356, 0.40926227], abs=5e-9
    )


def test_similarity_is_judged_when_asked_for():
    # Triangle, 60 answers, 30 %, beta 0.05: 25 pass (ISO 4120, Table A.2, from memory,
    # recomputed exactly).
    found = analyse("triangle --correct 25 --trials 60 --similarity 0.3")["similarity"]
    assert list(found) == ["limit", "beta", "most_correct", "similar", "upper", "notes"]
    assert (found["most_correct"], found["similar"], found["beta"]) == (25, True, 0.05)


def test_the_risk_of_a_wrong_pass_is_taken():
    # ISO 4120, Table A.2: 28 at beta 0.2 (from memory, recomputed exactly).
    found = analyse("triangle --correct 29 --trials 60 --similarity 0.3 --beta 0.2")["similarity"]
    assert (found["most_correct"], found["similar"], found["beta"]) == (28, False, 0.2)


def test_two_sided_similarity_judges_the_larger_count():
    # ISO 5495:2005, Table A.3, n = 126, beta 0.05, 30 %: 72 (printed).
    line = "paired-comparison --correct {} --trials 126 --similarity 0.3"
    found = [analyse(line.format(x))["similarity"]["similar"] for x in (53, 54, 72, 73)]
    assert found == [False, True, True, False]


def test_counts_for_people_say_what_was_found_and_what_may_remain():
    output = run(counts, "triangle --correct 7 --trials 12").stdout
    assert "A difference was not detected." in output
    assert "Largest such share the data still allow" in output


def test_two_sided_counts_for_people_speak_of_an_even_split():
    output = run(counts, "paired-preference --correct 6 --trials 24").stdout
    assert "A departure from an even split was detected." in output
    assert "Fewer than half of the answers chose the sample counted." in output


@pytest.mark.parametrize(
    ("line", "sentence"),
    [
        ("triangle --correct 25 --trials 60", "Fewer than 30 % of such tasters would notice"),
        ("triangle --correct 26 --trials 60", "Similarity was not shown"),
        ("triangle --correct 9 --trials 60", "Nothing can be concluded about similarity."),
        ("paired-comparison --correct 60 --trials 126", "less than 30 % away from an even split"),
    ],
)
def test_similarity_for_people_is_worded_by_the_limit(line, sentence):
    assert sentence in run(counts, f"{line} --similarity 0.3").stdout


def test_normal_limits_that_do_not_exist_are_explained_to_people():
    output = run(counts, "triangle --correct 0 --trials 24 --limits normal").stdout
    assert "The normal form gives no limits" in output


@pytest.mark.parametrize("method", METHODS)
@pytest.mark.parametrize("correct", [0, 12, 30, 45, 60])
def test_no_sentence_claims_more_than_the_counts_support(method, correct):
    line = f"{method} --correct {correct} --trials 60 --limits normal --similarity 0.3"
    output = run(counts, line).stdout.lower()
    claims = r"\b(prov|safe|identical|compl[iy]|no difference|same)"
    assert not re.search(claims, output)


def test_the_help_names_every_method():
    output = run(counts, "--help").stdout
    assert [method for method in METHODS if method not in output] == []


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
        ("triangle --correct 8 --trials 12 --limits score", "score"),
        ("triangle --correct 8 --trials 60 --similarity 0", "limit must be"),
        ("triangle --correct 8 --trials 60 --similarity 0.3 --beta 1", "beta"),
        ("triangle --correct 8 --trials 60 --similarity 0.3 --judgements 2", "pooled replicates"),
        ("triangle --correct 8 --trials 60 --beta 0.1", "--similarity"),
        ("triangle --correct 8 --trials 60 --judgements 1", "--similarity"),
        ("sniff --correct 8 --trials 12", "paired-preference, not 'sniff'"),
    ],
)
def test_impossible_counts_exit_with_2_and_say_what_is_wrong(line, message):
    result = run(counts, line)
    assert (result.exit_code, result.stdout) == (2, "")
    assert message in refusal(result)


def test_the_command_loads_without_scientific_libraries():
    code = "import server.cli.analyse.counts, sys; print({'scipy', 'numpy'} & sys.modules.keys())"
    command = [sys.executable, "-c", code]
    loaded = subprocess.run(command, capture_output=True, text=True, check=True)
    assert loaded.stdout.strip() == "set()"
