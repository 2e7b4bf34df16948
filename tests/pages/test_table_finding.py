"""The finding of a scored table as its leader sees it, from a sample session."""

import csv
import io
import json
from typing import Any
from uuid import UUID

import pytest

from server.blinding.portable import read_document
from server.blinding.seal import read_sealed
from server.pages.assets import SAMPLE_SESSIONS
from server.reports.scored import analyse_table
from server.reports.table_page import write_parts
from server.reports.table_rows import write_rows
from server.storage import finding_cache
from server.tastings.importing import import_tasting
from server.tastings.program import identify_program

FILE = SAMPLE_SESSIONS / "lantern-row-odd-bowl.json"


VERSION = json.loads(FILE.read_bytes())["events"][-1]["seq"]


@pytest.fixture(scope="module")
def parts() -> dict[str, bytes]:
    """The finding's parts, worked out once for all tests."""
    document = read_document(FILE.read_bytes())
    assert document.sealed_text
    analysis = analyse_table(read_sealed(document.sealed_text), document.events)
    return write_parts(analysis) | {"rows": write_rows(analysis)}


@pytest.fixture
def fresh(bench: Any, account: Any) -> UUID:
    """An unsealed scored table that nobody has looked at yet."""
    return import_tasting(bench, account.id, FILE.read_bytes())


@pytest.fixture
def scored(bench: Any, fresh: UUID, parts: dict[str, bytes]) -> str:
    """Address of an unsealed scored table whose finding is worked out."""
    with bench.writing() as db:
        finding_cache.keep_parts(db, fresh, VERSION, identify_program(), parts)
    return f"/tastings/{fresh}"


def test_the_first_page_answers_three_questions_in_order(leader: Any, scored: str) -> None:
    page = leader.get(f"{scored}/finding").text
    titles = ["Do they differ?", "Who disagrees?", "Decide, or taste again?"]
    places = [page.index(title) for title in titles]
    assert places == sorted(places)
    assert "A bowl stands apart: B2 of “new plan”" in page


def test_every_figure_has_words_numbers_and_a_drawing_in_each_theme(
    leader: Any, scored: str
) -> None:
    page = leader.get(f"{scored}/finding").text
    assert 'alt="Means of 3 samples in 3 attributes' in page
    for theme in ("light", "dark", "print"):
        answer = leader.get(f"{scored}/figures/profile-{theme}.svg")
        assert answer.headers["content-type"] == "image/svg+xml"
        assert answer.content.lstrip().startswith(b"<?xml")


@pytest.mark.parametrize("name", ["profile", "profile-blue", "cloud-light", "guessing"])
def test_no_other_figure_is_there(leader: Any, scored: str, name: str) -> None:
    assert leader.get(f"{scored}/figures/{name}.svg").status_code == 404


def test_a_figure_drawn_once_is_kept(leader: Any, scored: str, monkeypatch: Any) -> None:
    first = leader.get(f"{scored}/figures/lines-light.svg").content
    monkeypatch.setattr("server.tastings.table_concluding.draw_part", None)
    assert leader.get(f"{scored}/figures/lines-light.svg").content == first


def test_the_finding_is_worked_out_once(
    leader: Any, fresh: UUID, monkeypatch: Any, count_queries: Any
) -> None:
    first = leader.get(f"/tastings/{fresh}/finding").text
    monkeypatch.setattr("server.tastings.table_concluding.analyse_table", None)
    assert leader.get(f"/tastings/{fresh}/finding").text == first
    assert count_queries(lambda: leader.get(f"/tastings/{fresh}/finding")) <= 16


def test_a_map_of_three_samples_is_left_out_with_its_reason(leader: Any, scored: str) -> None:
    assert "No map: it takes 4 samples or more, not 3." in leader.get(f"{scored}/finding").text


def test_why_shared_bowls_have_no_bayes_factor_stands_among_more_analyses(
    leader: Any, scored: str
) -> None:
    page = leader.get(f"{scored}/finding").text
    more = page[page.index('id="more-analyses"') :]
    assert "Bayes factors: a difference against none" in more
    assert "No Bayes factor is given: everybody scored one set of bowls." in more


def test_bayes_factors_of_own_cups_stand_among_more_analyses(
    bench: Any, account: Any, leader: Any
) -> None:
    file = SAMPLE_SESSIONS / "lantern-row-batches.json"
    page = leader.get(f"/tastings/{import_tasting(bench, account.id, file.read_bytes())}/finding")
    more = page.text[page.text.index('id="more-analyses"') :]
    assert "The prior, as sealed with the plan" in more
    assert "Pairs of samples in “Sweetness, hot”" in more


def test_the_report_to_print_has_figures_in_black_on_white(leader: Any, scored: str) -> None:
    page = leader.get(f"{scored}/report").text
    assert "figures/profile-print.svg" in page
    assert "-dark.svg" not in page


def test_scores_are_taken_along_one_a_row(leader: Any, scored: str) -> None:
    rows = list(csv.DictReader(io.StringIO(leader.get(f"{scored}/scores.csv").text)))
    assert len(rows) == 8 * 12 * 4
    odd = [float(row["number"]) for row in rows if (row["brew"], row["question"]) == ODD]
    assert len(odd) == 8
    assert max(odd) < 35


ODD = ("B2", "Weight in the mouth")


def test_all_numbers_are_taken_along_unrounded(leader: Any, scored: str) -> None:
    report = json.loads(leader.get(f"{scored}/finding.json").text)
    assert report["finding"]["verdict"] == "not_shown"
    assert report["analysis"]["bowls"]["apart"][0]["bowl"] == "B2"


@pytest.mark.parametrize(
    "path", ["finding", "report", "scores.csv", "finding.json", "figures/profile-light.svg"]
)
def test_nobody_else_sees_any_of_it(stranger: Any, scored: str, path: str) -> None:
    assert stranger.get(f"{scored}/{path}").status_code == 404


@pytest.mark.parametrize("path", ["scores.csv", "finding.json", "report"])
def test_a_tasting_without_scores_has_no_such_file(leader: Any, home: str, path: str) -> None:
    assert leader.get(f"{home}/{path}").status_code == 404


def test_its_sealed_text_and_the_whole_tasting_are_there(leader: Any, scored: str) -> None:
    document = json.loads(FILE.read_bytes())
    assert leader.get(f"{scored}/sealed.json").text == document["sealed"]
    assert json.loads(leader.get(f"{scored}/export.json").text)["seal"] == document["seal"]


def test_parts_of_an_older_version_are_dropped(bench: Any, scored: str) -> None:
    tasting = UUID(scored.rpartition("/")[2])
    with bench.writing() as db:
        finding_cache.keep_parts(db, tasting, VERSION + 1, identify_program(), {"page": b"{}"})
    with bench.reading() as db:
        assert finding_cache.find_part(db, tasting, VERSION, identify_program(), "page") is None


def test_parts_of_another_program_are_worked_out_anew(bench: Any, leader: Any, fresh: UUID) -> None:
    with bench.writing() as db:
        finding_cache.keep_parts(db, fresh, VERSION, "an older one", {"page": b"no page"})
    assert leader.get(f"/tastings/{fresh}/finding").status_code == 200
    with bench.reading() as db:
        assert finding_cache.find_part(db, fresh, VERSION, "an older one", "page") is None
