"""Every scored sample session runs from its file to the finding it states."""

import json
from statistics import mean
from typing import Any

import pytest

from server.blinding.portable import read_document
from server.blinding.seal import read_sealed
from server.pages.assets import SAMPLE_SESSIONS
from server.reports.scored import TableAnalysis, analyse_table
from tests.staging_tables import TRUTHS, TableTruth, stage

by_file = pytest.mark.parametrize("truth", TRUTHS, ids=lambda truth: truth.file)


def read(file: str) -> tuple[dict[str, Any], TableAnalysis]:
    """Return what a session must say, and its analysis."""
    document = read_document((SAMPLE_SESSIONS / f"{file}.json").read_bytes())
    assert document.sealed_text
    assert isinstance(document.expected, dict)
    return document.expected, analyse_table(read_sealed(document.sealed_text), document.events)


@by_file
def test_staging_it_again_gives_the_same_file_and_the_verdict_of_its_truth(
    truth: TableTruth,
) -> None:
    document = stage(truth)  # works the finding out anew and writes it beside the table
    assert document == (SAMPLE_SESSIONS / f"{truth.file}.json").read_bytes()
    expected = read_document(document).expected
    assert (expected["verdict"], expected["advice"]) == (truth.verdict, truth.advice)


def test_the_means_of_a_question_follow_from_the_file_by_hand() -> None:
    document = json.loads((SAMPLE_SESSIONS / "lantern-row-upside-down.json").read_bytes())
    sealed = json.loads(document["sealed"])
    stood = {
        (serving["id"], cup["code"]): sealed["key"][cup["id"]][0]
        for serving in sealed["servings"]
        for cup in serving["cups"]
    }
    sour: dict[str, list[float]] = {}
    for event in document["events"]:
        if event["kind"] == "answered":
            for value in event["body"]["answer"]["values"]:
                if value["attribute"] == "sour":
                    sample = stood[event["body"]["serving"], value["code"]]
                    sour.setdefault(sample, []).append(value["value"] / 10)
    _, analysis = read("lantern-row-upside-down")
    assert analysis.numbers
    means = analysis.numbers.attributes["sour"].samples.means
    assert means == pytest.approx({sample: mean(given) for sample, given in sour.items()})


def test_the_seat_that_was_upside_down_is_found_and_nobody_else() -> None:
    _, analysis = read("lantern-row-upside-down")
    assert analysis.numbers
    assert analysis.numbers.attributes["sour"].against == ("seat 4",)


def test_the_bowl_that_went_wrong_is_found_and_no_other() -> None:
    _, analysis = read("lantern-row-odd-bowl")
    assert analysis.bowls
    assert {one.bowl for one in analysis.bowls.apart} == {"B2"}


def test_what_personal_words_have_in_common_is_beyond_chance() -> None:
    _, analysis = read("lantern-row-own-words")
    assert analysis.own_words
    assert analysis.own_words.check
    assert analysis.own_words.check.p_value == pytest.approx(
        1 / 200
    )  # the least that 199 draws give
