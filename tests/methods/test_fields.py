import pytest

from server.methods.base import InvalidAnswer
from server.methods.fields import parse_comment, parse_cue, parse_guess, parse_pick

CODES = ("412", "587", "936")


@pytest.mark.parametrize("code", CODES)
def test_every_served_cup_can_be_picked(code):
    assert parse_pick({"pick": code}, CODES) == code


@pytest.mark.parametrize("form", [{}, {"pick": ""}, {"pick": "  "}, {"pick": "413"}, {"pick": "4"}])
def test_no_pick_or_a_cup_from_elsewhere_is_refused(form):
    with pytest.raises(InvalidAnswer) as refused:
        parse_pick(form, CODES)
    assert refused.value.field == "pick"


@pytest.mark.parametrize(
    ("said", "guess"), [("on", True), ("true", True), ("1", True), ("", False), ("off", False)]
)
def test_a_ticked_box_is_a_guess(said, guess):
    assert parse_guess({"guess": said}) is guess


def test_a_box_that_was_not_sent_is_not_ticked():
    assert parse_guess({}) is False


def test_a_guess_that_says_neither_is_refused():
    with pytest.raises(InvalidAnswer, match="guess: "):
        parse_guess({"guess": "perhaps"})


@pytest.mark.parametrize(
    ("form", "cue"),
    [
        ({"cued": "on", "cue": " a darker\n ring "}, "a darker ring"),
        ({"cued": "off", "cue": ""}, ""),
        ({"cued": "off", "cue": "typed, and the tick taken back"}, ""),
        ({"cue": "as a body says it again"}, "as a body says it again"),
        ({"cue": ""}, ""),
    ],
)
def test_a_cue_is_what_its_taster_named(form, cue):
    assert parse_cue(form) == {"cue": cue}


def test_a_form_that_did_not_ask_for_a_cue_says_nothing_of_it():
    assert parse_cue({"pick": "412"}) == {}


@pytest.mark.parametrize(
    "form", [{"cued": "on", "cue": " "}, {"cued": "?", "cue": ""}, {"cued": "on", "cue": "a" * 81}]
)
def test_a_tick_without_a_word_and_too_many_words_are_refused(form):
    with pytest.raises(InvalidAnswer) as refused:
        parse_cue(form)
    assert refused.value.field == "cue"


def test_a_comment_is_stripped_and_keeps_its_lines():
    assert parse_comment({"comment": " flat,\r\na bit dusty \r\n"}) == "flat,\na bit dusty"


def test_a_comment_loses_characters_that_no_database_stores():
    assert parse_comment({"comment": "fl\x00at\ud800\x07"}) == "flat"


def test_a_comment_of_500_characters_with_line_ends_from_a_browser_fits():
    assert len(parse_comment({"comment": "a\r\n" * 249 + "é!"})) == 500


def test_a_comment_of_501_characters_is_refused():
    with pytest.raises(InvalidAnswer, match=r"comment: .*500"):
        parse_comment({"comment": "a" * 501})
