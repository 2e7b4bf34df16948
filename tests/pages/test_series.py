"""A rising series from its form to its finding, as leader and pourer see it."""

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from server.cli.analyse.threshold import threshold
from server.cli.checking import tasting, verify
from server.tastings import closing
from tests.playing import Play
from tests.series_forms import answer_series, series_form

NEW = "/tastings/new/series"
MARKS = {1: "oo++", 2: "o+++", 3: "o+++", 4: "+o++", 5: "ooo+", 6: "++++"}


@pytest.fixture
def unsealed(bench: Any, make_series: Callable[..., Any]) -> Any:
    """A series that was played and unsealed."""
    made = make_series()
    answer_series(Play(bench, made), MARKS)
    closing.close_tasting(bench, made.id, "", "absent")
    closing.unseal_tasting(bench, made.id)
    return made


def test_the_first_page_leads_to_the_form_and_it_warns(leader: Any) -> None:
    assert f'href="{NEW}"' in leader.get("/").text
    page = leader.get(NEW).text
    for words in ("food-grade", "allergies", "nothing about harm", "65 °C"):
        assert words in page


def test_the_preview_says_what_follows_or_what_is_missing(leader: Any) -> None:
    page = leader.post("/plans/series", series_form()).text
    assert "Factor from step to step" in page
    assert (
        "Give 3 to 10 rising numbers" in leader.post("/plans/series", series_form(steps="2 1")).text
    )


def test_a_bad_form_comes_back_with_what_was_typed(leader: Any) -> None:
    answer = leader.post(NEW, series_form(steps="4 2 1"))
    assert answer.status_code == 422
    assert 'value="4 2 1"' in answer.text
    assert "rising numbers" in answer.text


def test_a_plan_is_kept_changed_and_sealed(leader: Any) -> None:
    draft = leader.post(NEW, series_form()).headers["location"]
    assert "0.5, 1, 2, 4 g/L" in leader.get(draft).text
    assert leader.get(f"{draft}/plan").headers["location"] == f"{draft}/plan/series"
    assert 'value="0.5 1 2 4"' in leader.get(f"{draft}/plan/series").text
    leader.post(f"{draft}/plan/series", series_form(steps="1 3 9", attribute="sweet"))
    assert "which cup has the most: “sweet”" in leader.get(draft).text
    assert leader.post(f"{draft}/seal").status_code == 303
    assert leader.post(f"{draft}/plan/series", series_form()).status_code == 409


def test_the_form_of_two_samples_takes_no_series(leader: Any, plan_form: Any) -> None:
    answer = leader.post("/tastings/new", plan_form(method="ascending-3-afc"))
    assert answer.status_code == 422
    draft = leader.post(NEW, series_form()).headers["location"]
    assert leader.post(f"{draft}/plan", plan_form()).status_code == 404
    other = leader.post("/tastings/new", plan_form()).headers["location"]
    assert leader.get(f"{other}/plan/series").status_code == 404


def test_a_stranger_finds_no_series(stranger: Any, unsealed: Any) -> None:
    for path in ("plan/series", "series.csv", "series.json", "finding"):
        assert stranger.get(f"/tastings/{unsealed.id}/{path}").status_code == 404


def test_whoever_pours_reads_what_to_add_to_what(
    leader: Any, open_browser: Any, make_series: Callable[..., Any]
) -> None:
    made = make_series()
    pourer = open_browser()
    for path in (f"/pour/{made.pourer}?round=2", f"/pour/{made.pourer}/paper/fill"):
        page = pourer.get(path).text
        assert "<strong>C1</strong> is 240 mL of A2 at 1 g/L of rock sugar: add 0.24 g." in page
    card = leader.get(f"/tastings/{made.id}/paper/run?start=09:30").text
    assert "add 0.24 g." in card
    assert "Brew A2" in card
    assert "Brew C1" not in card  # what is added goes into a part of the batch


def test_numbers_are_shown_after_unsealing_only(leader: Any, make_series: Any) -> None:
    made = make_series()
    for path in ("finding", "figures/steps.svg", "series.csv", "series.json"):
        assert leader.get(f"/tastings/{made.id}/{path}").status_code == 403


def test_the_finding_shows_headline_picture_and_everybody(leader: Any, unsealed: Any) -> None:
    page = leader.get(f"/tastings/{unsealed.id}/finding").text
    assert "half of the time at about" in page
    assert "safe or harmless" in page
    assert "Best estimates by seat" in page
    assert "Factor" not in page
    picture = leader.get(f"/tastings/{unsealed.id}/figures/steps.svg")
    assert picture.headers["content-type"] == "image/svg+xml"
    assert leader.get(f"/tastings/{unsealed.id}/figures/share.svg").status_code == 404


def test_rows_taken_along_give_the_same_threshold_elsewhere(
    leader: Any, unsealed: Any, tmp_path: Path
) -> None:
    rows = tmp_path / "series.csv"
    rows.write_text(leader.get(f"/tastings/{unsealed.id}/series.csv").text)
    told = CliRunner().invoke(threshold, [str(rows), "--json"])
    there = json.loads(told.output)["logistic"]["threshold"]
    here = leader.get(f"/tastings/{unsealed.id}/series.json").json()
    assert here["analysis"]["main"]["curve"]["threshold"] == there


def test_an_export_says_the_same_from_its_file_alone(
    leader: Any, unsealed: Any, tmp_path: Path
) -> None:
    file = tmp_path / "tasting.oddcup.json"
    file.write_bytes(leader.get(f"/tastings/{unsealed.id}/export.json").content)
    told = CliRunner().invoke(tasting, [str(file)])
    assert "half of the time at about" in " ".join(told.output.split())
    assert "Plan, layout and key have this seal." in CliRunner().invoke(verify, [str(file)]).output


def test_the_next_series_starts_from_this_one(leader: Any, unsealed: Any) -> None:
    again = leader.get(f"/tastings/{unsealed.id}/again")
    page = leader.get(again.headers["location"]).text
    assert f'action="{NEW}"' in page
    assert 'value="rock sugar"' in page


def test_other_tastings_have_no_series(leader: Any, sealed_tasting: Any) -> None:
    assert leader.get(f"/tastings/{sealed_tasting.id}/series.csv").status_code == 404
