"""Every sample session runs from its file to the finding it states."""

import json
from fractions import Fraction
from itertools import permutations, product
from math import comb
from pathlib import Path
from typing import Any

import pytest

from server.blinding.portable import read_document, verify_document
from server.blinding.seal import read_sealed
from server.pages.assets import SAMPLE_SESSIONS
from server.reports.analysis import analyse_tasting
from server.reports.findings import conclude
from server.tastings.bench import Bench
from server.tastings.importing import get_leader_id, import_tasting
from tests.staged_truths import TRUTHS, Truth
from tests.staging import stage
from tests.staging_series import TRUTHS as SERIES
from tests.staging_tables import TRUTHS as TABLES

ALL = sorted(SAMPLE_SESSIONS.glob("*.json"))
SCORED = {truth.file for truth in (*TABLES, *SERIES)}
FILES = [path for path in ALL if path.stem not in SCORED]
KINDS = [path for path in ALL if path.stem in ("spring-harvest", "iron-pot")]


def count_by_hand(document: dict[str, Any]) -> tuple[int, int]:
    """Count right answers from the file alone: JSON in, the odd sample's code out.

    Where either of two samples may be chosen more often, the larger count is meant; whoever
    names neither is left out.
    """
    sealed = json.loads(document["sealed"])
    answers = map_answers(document)
    key = sealed["key"] | read_marks(document)
    tested = [
        one
        for one in sealed["servings"]
        if one["comparison"] == "test" and all(key.get(cup["id"]) for cup in one["cups"])
    ]
    right = 0
    for serving in tested:
        samples = {cup["code"]: key[cup["id"]][0] for cup in serving["cups"]}
        answer = answers.get(serving["id"])
        right += answer is not None and is_right(answer, samples, sealed["plan"])
    given = [answers[one["id"]] for one in tested if one["id"] in answers]
    trials = sum(one.get("pick") != "neither" for one in given)
    return max(right, trials - right) if is_two_sided(sealed["plan"]) else right, trials


def map_answers(document: dict[str, Any]) -> dict[str, dict[str, str]]:
    """Map every answered serving to what was said."""
    return {
        event["body"]["serving"]: event["body"]["answer"]
        for event in document["events"]
        if event["kind"] == "answered"
    }


def is_two_sided(plan: dict[str, Any]) -> bool:
    """Tell whether either sample may be chosen more often."""
    return plan["method"] in ("paired-comparison", "paired-preference")


def has_reference(plan: dict[str, Any]) -> bool:
    """Tell whether the left cup is an open reference."""
    return plan["method"] in ("duo-trio", "duo-trio-constant")


def is_right(answer: dict[str, str], samples: dict[str, str], plan: dict[str, Any]) -> bool:
    """Judge an answer, given the sample under each code.

    Sorted are pairs of like cups, and of five the pair is what was served twice. Picked is
    of a pair the cup with more, of a triad the odd one, beside a reference the cup like it.
    """
    served = list(samples.values())
    if "said" in answer:
        alike = len(set(served)) == 1 if len(served) == 2 else served == ["A"]
        return (answer["said"] == "yes") == alike
    if "pairs" in answer:
        return all(len({samples[one] for one in two.split()}) == 1 for two in halve(answer))
    if "pair" in answer:
        return all(served.count(samples[one]) == 2 for one in answer["pair"].split())
    picked = samples.get(answer["pick"])
    if is_two_sided(plan):
        return picked == "B"
    if has_reference(plan):
        reference = next(iter(samples))
        return answer["pick"] != reference and picked == samples[reference]
    return picked == plan["direction"]["more"] if len(served) == 2 else served.count(picked) == 1


def halve(answer: dict[str, str]) -> list[str]:
    """Part sorted cups into their two pairs."""
    return answer["pairs"].split("/")


def read_marks(document: dict[str, Any]) -> dict[str, str | None]:
    """Collect what stood under the cups of a tasting alone, None where a mark was lost."""
    turned = [one["body"]["marks"] for one in document["events"] if one["kind"] == "revealed"]
    return {cup: slot for marks in turned for cups in marks.values() for cup, slot in cups.items()}


def test_every_truth_has_its_file_and_every_file_its_truth() -> None:
    assert {path.stem for path in ALL} == SCORED | {truth.file for truth in TRUTHS}


def test_all_of_them_can_be_loaded_side_by_side(bench: Bench) -> None:
    leader = get_leader_id(bench)
    loaded = {import_tasting(bench, leader, path.read_bytes()) for path in ALL}
    assert len(loaded) == len(ALL) > len(TABLES) + 10


@pytest.mark.parametrize("path", ALL, ids=lambda path: path.stem)
def test_a_sample_session_verifies(path: Path) -> None:
    assert verify_document(path.read_bytes()) == []


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_its_finding_is_the_stated_one(path: Path) -> None:
    document = read_document(path.read_bytes())
    assert document.sealed_text
    assert document.expected
    finding = conclude(analyse_tasting(read_sealed(document.sealed_text), document.events))
    numbers = {line.name: line.value for line in finding.numbers}
    assert document.expected == {
        "verdict": finding.verdict.value,
        "headline": finding.headline,
        "correct": numbers["correct"],
        "p_value": numbers["p_value"],
        "blinding_level": finding.blinding_level,
    }


def test_a_brew_that_was_released_unmatched_limits_its_finding() -> None:
    document = read_document((SAMPLE_SESSIONS / "steeped-too-long.json").read_bytes())
    assert document.sealed_text
    finding = conclude(analyse_tasting(read_sealed(document.sealed_text), document.events))
    assert "“the guests were seated and the kettle was empty”" in finding.limits[0]
    assert "strength (0.14 %TDS apart, limit 0.05 %TDS)" in finding.limits[0]
    assert "That anything but strength made them differ." in finding.may_not_say


def test_an_odd_pot_is_named_and_its_finding_speaks_of_no_sample() -> None:
    document = read_document((SAMPLE_SESSIONS / "older-bag.json").read_bytes())
    assert document.sealed_text
    finding = conclude(analyse_tasting(read_sealed(document.sealed_text), document.events))
    assert "Something about brew B1 was noticed: that pot may have been odd." in finding.may_say
    assert any("rests on brew B1: with it" in one for one in finding.limits)
    assert not [one for one in finding.may_say if "clay pot" in one]


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_its_count_and_its_p_follow_from_the_file_by_hand(path: Path) -> None:
    document = json.loads(path.read_bytes())
    correct, trials = count_by_hand(document)
    expected = read_document(path.read_bytes()).expected
    cups = len(json.loads(document["sealed"])["servings"][0]["cups"])
    choices = {4: 3, 5: 10}.get(cups, cups)  # three ways into two pairs, ten pairs of five
    choices -= has_reference(json.loads(document["sealed"])["plan"])
    ways = range(correct, trials + 1)
    tail = sum(comb(trials, k) * (choices - 1) ** (trials - k) for k in ways)
    if path in KINDS:
        assert expected["correct"] == f"{correct} of {trials}"
        return  # see the test of two kinds
    p = Fraction(tail, choices**trials)  # exact binomial tail at one of so many choices
    if is_two_sided(json.loads(document["sealed"])["plan"]):
        p = min(2 * p, Fraction(1))
    said = "< 0.0001" if p < Fraction(1, 10_000) else f"{float(p):.4f}"
    assert isinstance(expected, dict)
    if expected["verdict"] == "exploratory":
        said += " (not as planned)"
    if json.loads(document["sealed"])["plan"].get("sequential"):
        said = "none: the answers decided when to stop"
    assert (expected["correct"], expected["p_value"]) == (f"{correct} of {trials}", said)


@pytest.mark.parametrize("path", KINDS, ids=lambda path: path.stem)
def test_the_p_of_two_kinds_follows_by_counting_every_deal(path: Path) -> None:
    document = json.loads(path.read_bytes())
    sealed, size = json.loads(document["sealed"]), {"a-not-a": 2, "same-different": 4}
    of, given = size[sealed["plan"]["method"]], map_answers(document)
    blocks: dict[tuple[int, int], list[tuple[bool, bool]]] = {}
    for one in sealed["servings"]:
        if one["id"] in given:
            stood = {sealed["key"][cup["id"]][0] for cup in one["cups"]}
            first = len(stood) == 1 if of == 4 else stood == {"A"}
            block = blocks.setdefault((one["seat"], (one["round"] - 1) // of), [])
            block.append((first, given[one["id"]]["said"] == "yes"))
    reached = sum(first and yes for block in blocks.values() for first, yes in block)
    chances = {0: Fraction(1)}
    for block in blocks.values():
        deals = list(permutations([first for first, _ in block]))
        grown: dict[int, Fraction] = {}
        for deal, (hits, chance) in product(deals, chances.items()):
            more = sum(first and yes for first, (_, yes) in zip(deal, block, strict=True))
            grown[hits + more] = grown.get(hits + more, Fraction(0)) + chance / len(deals)
        chances = grown
    p = sum(chance for hits, chance in chances.items() if hits >= reached)
    said = "< 0.0001" if p < Fraction(1, 10_000) else f"{float(p):.4f}"
    assert read_document(path.read_bytes()).expected["p_value"] == said


@pytest.mark.parametrize("truth", TRUTHS, ids=lambda truth: truth.file)
def test_staging_it_again_gives_the_same_file_and_the_verdict_of_its_truth(truth: Truth) -> None:
    document = stage(truth)
    assert document == (SAMPLE_SESSIONS / f"{truth.file}.json").read_bytes()
    assert read_document(document).expected["verdict"] == truth.verdict
