import json

import pytest

from server.reports.exports import render_text, report_tasting, to_dict
from server.reports.findings import conclude


def find_none_json(value):
    """List everything that JSON has no type for."""
    if isinstance(value, dict):
        return [bad for member in (*value, *value.values()) for bad in find_none_json(member)]
    if isinstance(value, list):
        return [bad for member in value for bad in find_none_json(member)]
    return [] if value is None or type(value) in (str, int, float, bool) else [value]


@pytest.mark.parametrize("right", [0, 8, 11, 18])
def test_a_report_is_plain_json_without_nan(tell_whole, right):
    report = report_tasting(tell_whole(right).analyse())
    assert find_none_json(report) == []
    assert json.loads(json.dumps(report, allow_nan=False)) == report


def test_a_report_keeps_numbers_unrounded(tell_whole):
    # 8 of 12: p of the worked example in ISO 4120:1983, recomputed to ten decimals.
    report = report_tasting(tell_whole(8, assessors=4).analyse())
    assert report["analysis"]["counts"]["p_value"] == pytest.approx(0.0187584323, abs=1e-10)
    assert report["analysis"]["plan"]["alpha"] == "0.05"


def test_limits_are_written_as_low_and_high(tell_whole):
    limits = report_tasting(tell_whole(18).analyse())["analysis"]["counts"]["d_prime_interval"]
    assert (sorted(limits), limits["high"]) == (["high", "low"], None)


def test_a_report_without_answers_is_plain_json_too(make_story):
    report = report_tasting(make_story().close("nobody").unseal().analyse())
    assert report["analysis"]["counts"] is None
    assert report["finding"]["verdict"] == "no_answers"


def test_the_text_opens_with_the_headline_and_ends_with_a_line_end(tell_whole):
    finding = conclude(tell_whole(11).analyse())
    text = render_text(finding)
    assert text.startswith("This panel told “fresh cartridge”")
    assert text.endswith("\n")
    assert not text.endswith("\n\n")


def test_the_text_holds_every_sentence_and_number(tell_whole):
    finding = conclude(tell_whole(11).analyse())
    flat = " ".join(render_text(finding).replace("-\n  ", "-").split())
    sentences = (*finding.may_say, *finding.may_not_say, *finding.limits, *finding.next_steps)
    assert [one for one in sentences if one not in flat] == []
    assert [one for one in finding.numbers if one.value not in flat] == []


def test_no_line_of_the_text_is_wider_than_a_terminal(tell_whole):
    text = render_text(conclude(tell_whole(8).analyse()))
    assert max(map(len, text.splitlines())) <= 88


def test_control_characters_typed_by_somebody_never_reach_the_terminal(tell_whole):
    finding = conclude(tell_whole(11, question="red \x1b[31m or \x07 not?").analyse())
    assert "\x1b" not in render_text(finding)
    assert "\x07" not in render_text(finding)


def test_a_mapping_with_numbers_as_names_becomes_an_object():
    assert to_dict({1: (2, None)}) == {"1": [2, None]}
