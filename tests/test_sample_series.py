"""The sample session of a rising series runs from its file to the finding it states."""

import json
from math import prod

import pytest

from server.blinding.portable import read_document
from server.blinding.seal import read_sealed
from server.pages.assets import SAMPLE_SESSIONS
from server.reports.series.analysis import analyse_series
from server.reports.series.findings import conclude_series
from tests.staging_series import TRUTHS, SeriesTruth, stage

by_file = pytest.mark.parametrize("truth", TRUTHS, ids=lambda truth: truth.file)


@by_file
def test_staging_it_again_gives_the_same_file_and_the_verdict_of_its_truth(
    truth: SeriesTruth,
) -> None:
    document = stage(truth)
    assert document == (SAMPLE_SESSIONS / f"{truth.file}.json").read_bytes()
    assert read_document(document).expected["verdict"] == truth.verdict


@by_file
def test_its_finding_is_the_stated_one_and_holds_the_truth(truth: SeriesTruth) -> None:
    document = read_document((SAMPLE_SESSIONS / f"{truth.file}.json").read_bytes())
    assert document.sealed_text
    analysis = analyse_series(read_sealed(document.sealed_text), document.events)
    assert document.expected["headline"] == conclude_series(analysis).headline
    assert analysis.main.curve
    assert analysis.main.curve.threshold_interval
    low, high = analysis.main.curve.threshold_interval
    assert low
    assert high
    assert low < truth.threshold < high


@by_file
def test_its_best_estimates_follow_from_the_file_by_hand(truth: SeriesTruth) -> None:
    text = (SAMPLE_SESSIONS / f"{truth.file}.json").read_bytes()
    document = json.loads(text)
    sealed = json.loads(document["sealed"])
    steps = [float(one) for one in sealed["plan"]["series"]["steps"]]
    picks = {
        event["body"]["serving"]: event["body"]["answer"]["pick"]
        for event in document["events"]
        if event["kind"] == "answered"
    }
    missed: dict[int, int] = {}
    for one in sealed["servings"]:
        stood = {cup["code"]: sealed["key"][cup["id"]][0] for cup in one["cups"]}
        if one["id"] in picks:
            last = missed.setdefault(one["seat"], 0)
            if stood[picks[one["id"]]] == "A":
                missed[one["seat"]] = max(last, one["round"])
    ladder = [steps[0] ** 2 / steps[1], *steps, steps[-1] ** 2 / steps[-2]]
    found = [(ladder[last] * ladder[last + 1]) ** 0.5 for last in missed.values()]
    mean = prod(found) ** (1 / len(found))
    assert read_document(text).expected["group"].startswith(f"{mean:.3g} %")
