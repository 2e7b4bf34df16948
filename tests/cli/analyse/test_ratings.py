import json
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner

from server.cli.analyse.ratings import ratings

FISH = Path(__file__).parents[2] / "reference" / "fish.csv"
SCREEN = 24

# A tea bar has tea of three waters scored twice by four assessors.
TEA = (
    "assessor,sample,replicate,clean,sweet\n"
    "ann,fresh,1,7,5\nann,flushed,1,5,4\nann,old,1,3,5\n"
    "ann,fresh,2,6,6\nann,flushed,2,6,5\nann,old,2,2,6\n"
    "bo,fresh,1,8,4\nbo,flushed,1,7,6\nbo,old,1,4,5\n"
    "bo,fresh,2,8,5\nbo,flushed,2,5,6\nbo,old,2,5,4\n"
    "cy,fresh,1,6,5\ncy,flushed,1,5,5\ncy,old,1,3,6\n"
    "cy,fresh,2,5,7\ncy,flushed,2,5,5\ncy,old,2,4,5\n"
)
MEMBERS = {
    "samples": "method error_term f df p_value means lsd hsd letters variance",
    "agreement": "icc kendall_w krippendorff_interval cronbach_alpha",
    "scaling": "f df p_value sample_f sample_p_value",
}
OF_AN_ASSESSOR = (
    "discrimination_f discrimination_p repeatability_mse agreement_r interaction_share level slope"
)


@pytest.fixture
def run(tmp_path):
    """Run the command on a table."""

    def run(text, *options):
        file = tmp_path / "scores.csv"
        file.write_text(text, encoding="utf-8")
        return CliRunner().invoke(ratings, [str(file), *options])

    return run


@pytest.fixture
def fish() -> str:
    lines = [one for one in FISH.read_text(encoding="utf-8").splitlines() if one[0] != "#"]
    rows = [one.split(",") for one in lines[1:]]
    header = "assessor,sample,attribute,replicate,value\n"
    return header + "".join(f"{a},{s},fresh,{r},{v}\n" for s, a, r, v in rows)


def build_panel(people=60, samples=12, repeats=3, attributes=1, seed=4) -> str:
    rng = np.random.default_rng(seed)
    names = [f"attribute {at}" for at in range(attributes)]
    effects = rng.normal(size=(samples, attributes))
    rows = [
        f"assessor {who:02},sample {name:02},{repeat},"
        + ",".join(f"{one:.2f}" for one in 5 + effects[name] + rng.normal(size=attributes))
        for who, name, repeat in np.ndindex(people, samples, repeats)
    ]
    return f"assessor,sample,replicate,{','.join(names)}\n" + "\n".join(rows)


def find_screens(output: str) -> list[list[str]]:
    """Return the lines told of every attribute."""
    return [part.splitlines() for part in output.strip().split("\n\n")]


def test_every_attribute_has_these_members(run):
    found = json.loads(run(TEA, "--json").stdout)
    assert list(found["attributes"]) == ["clean", "sweet"]
    for one in found["attributes"].values():
        assert list(one) == ["samples", "agreement", "assessors", "scaling"]
        assert all(set(members.split()) <= set(one[part]) for part, members in MEMBERS.items())
        assert list(one["assessors"]["bo"]) == OF_AN_ASSESSOR.split()
        assert list(one["agreement"]["icc"]["2,1"]) == ["value", "interval"]


def test_a_published_table_comes_unrounded(run, fish):
    # Scores and means of ISO 8586; the rest recomputed independently (two programs).
    found = json.loads(run(fish, "--json").stdout)["attributes"]["fresh"]["samples"]
    assert (found["method"], found["error_term"], found["df"]) == (
        "anova",
        "assessor:sample",
        [5, 15],
    )
    assert found["f"] == pytest.approx(19.61818182, abs=5e-9)
    assert found["hsd"] == pytest.approx(1.371667801, abs=5e-9)
    assert found["letters"] == {"1": "a", "2": "ab", "3": "cd", "4": "bcd", "5": "d", "6": "bc"}


def test_a_score_a_line_says_the_same_as_a_sheet_a_line(run, fish):
    wide = fish.replace("attribute,replicate,value", "replicate,fresh").replace(",fresh,", ",")
    assert wide.startswith("assessor,sample,replicate,fresh\n")
    assert run(wide, "--json").stdout == run(fish, "--json").stdout


def test_copied_rows_without_a_replicate_are_told(run, fish):
    bare = "".join(
        ",".join(place for at, place in enumerate(line.split(",")) if at != 3) + "\n"
        for line in fish.splitlines()
    )
    twice = bare + bare.split("\n", 1)[1]
    once, copied = (json.loads(run(text, "--json").stdout) for text in (bare, twice))
    assert copied["attributes"]["fresh"]["samples"] == once["attributes"]["fresh"]["samples"]
    assert any("stands 2 times in its cell" in note for note in copied["notes"])


def test_a_gap_leaves_nulls_with_reasons_that_name_the_attribute(run):
    found = json.loads(run(TEA.replace("cy,old,1,3,6", "cy,old,1,,6"), "--json").stdout)
    clean, sweet = found["attributes"].values()
    assert (clean["samples"]["method"], sweet["samples"]["method"]) == ("reml", "anova")
    assert clean["samples"]["lsd"] is None
    assert any(note.startswith("clean: The pairs have different") for note in found["notes"])


def test_shared_bowls_are_taken_from_their_column(run):
    text = TEA.replace("replicate", "pot")
    found = json.loads(run(text, "--json", "--shared-bowls", "pot").stdout)
    samples = found["attributes"]["clean"]["samples"]
    assert samples["method"] == "reml"
    assert list(samples["variance"]) == ["assessor", "assessor:sample", "bowl", "residual"]


def test_positions_add_tests_of_the_order(run):
    found = json.loads(run(TEA.replace("replicate", "position"), "--json").stdout)
    assert list(found["attributes"]["clean"])[-1] == "order"


def test_the_level_is_that_of_every_part(run):
    found = json.loads(run(TEA, "--alpha", "0.2", "--json").stdout)
    usual = json.loads(run(TEA, "--json").stdout)
    one, other = (each["attributes"]["clean"] for each in (found, usual))
    assert one["samples"]["hsd"] < other["samples"]["hsd"]
    assert (
        one["agreement"]["icc"]["3,k"]["interval"][0]
        > (other["agreement"]["icc"]["3,k"]["interval"][0])
    )


def test_a_primary_makes_findings_and_leads(run):
    found = json.loads(run(TEA, "--primary", "sweet", "--json").stdout)
    assert (found["verdicts"]["findings"], found["verdicts"]["leads"]) == ([], ["clean"])
    assert "Leads, not findings, each worth a test of its own: clean." in found["notes"]


@pytest.mark.parametrize(
    "text",
    [
        "assessor,sample,sweet\nann,X,3\n",
        "assessor,sample,sweet\nann,X,3\nbo,X,4\n",
        "assessor,sample,sweet\nann,X,3\nann,Y,3\nbo,X,3\nbo,Y,3\n",
        "assessor,sample,sweet\nann,X,1\nann,Y,2\nbo,X,3\nbo,Y,4\n",
        "assessor,sample,sweet,salty\nann,X,1,\nann,Y,,2\nbo,X,3,\nbo,Y,,4\n",
        "assessor,sample,position,sweet\nann,X,1,1\nann,Y,1,2\nbo,X,1,3\nbo,Y,2,4\n",
    ],
    ids=["one value", "one sample", "constant", "no interaction", "gaps", "bad positions"],
)
def test_every_edge_is_strict_json_and_told_to_people(run, text):
    found = json.loads(run(text, "--json").stdout, parse_constant=pytest.fail)
    assert found["notes"]
    assert "not estimable" in run(text).stdout


def test_people_are_told_whether_samples_differ_first(run):
    clean, sweet, _ = find_screens(run(TEA).stdout)
    assert clean[0].startswith("clean: the samples differ, p = 0.0")
    assert sweet[0].startswith("sweet: no difference was detected, p = 0.")


def test_people_are_told_means_with_letters_and_who_disagrees(run, fish):
    output = run(fish).stdout
    assert "Means: 1 7.50 a, 2 6.17 ab, 6 5.33 bc, 4 4.92 bcd, 3 4.25 cd, 5 3.92 d\n" in output
    assert "Largest shares of the disagreement: 3 56%, 2 29%, 1 9% (alike: 25% each)" in output


def test_people_are_told_what_a_primary_leaves_as_a_lead(run):
    output = run(TEA, "--primary", "sweet").stdout
    assert "(a lead, not a finding)" in output
    assert "(primary; no finding)" in output
    assert "(primary; a finding)" in run(TEA, "--primary", "clean").stdout


def test_people_are_told_who_turns_the_scale_round(run):
    rows = "ann,1,2,5,7\nbo,1,4,6,8\ncy,2,3,5,7\ndi,9,6,3,1\nem,1,3,5,8"
    scores = (row.split(",") for row in rows.splitlines())
    lines = [f"{who},{at},{one}" for who, *row in scores for at, one in enumerate(row)]
    output = run("assessor,sample,sweet\n" + "\n".join(lines)).stdout
    assert "Against the rest of the panel: di (r -0.9" in output
    assert "Without di: F = " in output


def test_an_attribute_of_a_large_panel_fits_a_screen(run):
    assert max(len(one) for one in find_screens(run(build_panel()).stdout)) <= SCREEN


def test_an_attribute_with_long_reasons_fits_a_screen(run):
    text = build_panel(repeats=1).replace("assessor 05,sample 03,0,", "assessor 05,sample 03,,#", 1)
    text = "\n".join(line if "#" not in line else line.split("#")[0] for line in text.splitlines())
    screens = find_screens(run(text).stdout)
    assert "--json has them all" in screens[0][-1]
    assert max(len(one) for one in screens) <= SCREEN


def test_the_columns_stand_in_the_help():
    output = CliRunner().invoke(ratings, ["--help"]).stdout
    assert "  attribute  what was scored\n" in output
    assert "samples are tested against how far\n" in output


@pytest.mark.parametrize(
    ("text", "options", "told"),
    [
        (TEA, ["--primary", "sour"], "primary must be one of clean, sweet, not 'sour'"),
        (TEA, ["--alpha", "0"], "alpha must be above 0 and below 1, not 0.0"),
        (TEA, ["--alpha", "nan"], "alpha"),
        (TEA, ["--shared-bowls", "pot"], "--shared-bowls must be one of the columns"),
        (TEA.replace("bo,fresh,2", "bo,fresh,1"), [], "lines 8 and 11: the same"),
        ("assessor,sample,sweet\nann,X,\n", [], "scores must hold at least one value"),
    ],
)
def test_impossible_tables_exit_with_2_and_say_what_is_wrong(run, text, options, told):
    result = run(text, *options)
    assert (result.exit_code, result.stdout) == (2, "")
    assert told in result.stderr.strip().splitlines()[-1]


def test_the_command_loads_without_scientific_libraries():
    code = "import server.cli.analyse.ratings, sys; print({'scipy', 'numpy'} & sys.modules.keys())"
    command = [sys.executable, "-c", code]
    loaded = subprocess.run(command, capture_output=True, text=True, check=True)
    assert loaded.stdout.strip() == "set()"
