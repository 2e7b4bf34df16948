import re
from dataclasses import dataclass, replace
from typing import Any
from uuid import UUID

import httpx
import pytest
from sqlalchemy import event

from server.blinding.seal import spaced
from server.blinding.sealed import PlannedServing
from server.storage import queries
from server.tastings import closing, pouring


@dataclass
class Taster:
    """Somebody at a seat, tapping through the page without a script unless told otherwise."""

    browser: Any
    made: Any
    number: int = 1
    script: bool = False

    @property
    def url(self) -> str:
        return f"/seat/{self.made.tokens[self.number]}"

    @property
    def serving(self) -> PlannedServing:
        return self.made.servings(self.number)[0]

    def open(self) -> str:
        """The whole page, with what is kept in it for a device without a network."""
        return self.browser.get(self.url).text

    def look(self) -> str:
        """What is shown of it."""
        return self.open().partition('<div id="ahead"')[0]

    def tap(self, path: str, serving: PlannedServing | UUID | str = "", **form: str) -> Any:
        chosen = serving or self.serving
        told = {"serving": str(getattr(chosen, "id", chosen))} | form
        return self.browser.post(f"{self.url}/{path}", told, script=self.script)

    def sit_down(self) -> "Taster":
        self.tap("start")
        return self

    def confirm(self, serving: PlannedServing | None = None) -> "Taster":
        self.tap("codes", serving or self.serving, verdict="yes")
        return self

    def answer(self, serving: PlannedServing, pick: str, **form: str) -> httpx.Response:
        return self.tap("answer", serving, pick=pick, client_key="k" + pick, **form)

    def answer_all(self) -> "Taster":
        for serving in self.made.servings(self.number):
            self.confirm(serving).answer(serving, serving.codes[0])
        return self


@pytest.fixture
def taster(client, sealed_tasting) -> Taster:
    return Taster(client, sealed_tasting).sit_down()


@pytest.fixture
def record(bench, sealed_tasting):
    def load():
        with bench.reading() as db:
            return queries.load_record(db, sealed_tasting.id)

    return load


def heading(page: str) -> str:
    found = re.search(r"<h1[^>]*>(.*?)</h1>", page, re.S)
    return found[1] if found else ""


def close(bench, made) -> None:
    closing.close_tasting(bench, made.id, "out of water", "absent")


# one step after the other


def test_a_seat_starts_with_the_instructions(client, sealed_tasting):
    page = Taster(client, sealed_tasting).look()
    assert heading(page) == "Before you taste"


def test_instructions_say_whether_to_swallow_or_to_spit(client, make_tasting):
    assert "Swallow every sip" in Taster(client, make_tasting()).look()
    assert "Spit out every sip" in Taster(client, make_tasting(swallow="")).look()


def test_instructions_say_where_a_cup_is_only_sipped(client, make_tasting):
    assert "Take small sips" in Taster(client, make_tasting(relief="sips")).look()
    assert "Take small sips" not in Taster(client, make_tasting()).look()


def test_instructions_warn_of_hot_drinks(client, sealed_tasting):
    assert "65 °C or below" in Taster(client, sealed_tasting).look()


def test_after_the_instructions_come_the_codes(taster):
    page = taster.look()
    assert heading(page) == "Are these your cups?"
    assert re.findall(r'class="cup">(\d+)<', page) == list(taster.serving.codes)


@pytest.mark.usefixtures("taster")
def test_reading_the_instructions_takes_the_seat(record):
    assert record().seats_taken == {1}


def test_confirmed_codes_bring_the_ballot(taster):
    page = taster.confirm().look()
    assert re.findall(r'name="pick" value="(\d+)"', page) == list(taster.serving.codes)


def test_codes_that_differ_call_the_pourer(taster, record):
    taster.tap("codes", verdict="differ")
    assert heading(taster.look()) == "The pourer is called"
    assert record().calls == {taster.serving.id}


def test_cups_put_right_bring_the_ballot(taster, record):
    taster.tap("codes", verdict="differ")
    assert 'name="pick"' in taster.confirm().look()
    assert not record().calls


def test_a_call_settled_by_the_pourer_shows_the_codes_again(taster, bench):
    taster.tap("codes", verdict="differ")
    bar = pouring.find_bar(bench, taster.made.pourer)
    pouring.settle_call(bench, bar, taster.serving.id)
    assert heading(taster.look()) == "Are these your cups?"


def test_the_pourer_can_be_called_from_the_ballot(taster):
    taster.confirm().tap("codes", verdict="differ")
    assert heading(taster.look()) == "The pourer is called"


def test_a_pick_is_shown_once_more_before_it_is_locked(taster, record):
    pick = taster.serving.codes[1]
    taster.confirm().tap("draft", pick=pick, guess="on", comment="a little flat")
    page = taster.look()
    assert f"You say {pick} is the odd one." in page
    assert "a little flat" in page
    assert not record().answers


def test_changing_keeps_what_was_typed(taster):
    pick = taster.serving.codes[1]
    taster.confirm().tap("draft", pick=pick, guess="on", comment="a little flat")
    assert taster.tap("change").status_code == 303
    page = taster.look()
    assert re.search(rf'value="{pick}" required checked', page)
    assert "a little flat</textarea>" in page


def test_a_changed_pick_is_the_one_that_is_shown(taster):
    first, second, _ = taster.serving.codes
    taster.confirm().tap("draft", pick=first)
    taster.tap("change")
    taster.tap("draft", pick=second)
    assert f"You say {second} is the odd one." in taster.look()


def test_a_locked_answer_leads_to_the_next_round(taster):
    taster.confirm().answer(taster.serving, taster.serving.codes[0])
    page = taster.look()
    assert "Your answer is locked." in page
    assert "Round 2 of 3" in page


def test_an_answer_keeps_guess_and_comment(taster, record):
    pick = taster.serving.codes[2]
    taster.confirm().answer(taster.serving, pick, guess="on", comment="drier")
    given = record().answers[taster.serving.id].answer
    assert given == {"pick": pick, "guess": True, "comment": "drier"}


@pytest.mark.parametrize(
    ("form", "cue"),
    [({"cued": "on", "cue": "more foam"}, "more foam"), ({"cued": "off", "cue": ""}, "")],
)
def test_everybody_is_asked_what_else_told_them(taster, record, form, cue):
    assert "Something other than smell and taste told me" in taster.confirm().look()
    pick = taster.serving.codes[0]
    taster.tap("draft", pick=pick, **form)
    carried = re.search(r'name="cue" value="([^"]*)"', taster.look())[1]
    taster.tap("answer", pick=pick, cue=carried)
    assert record().answers[taster.serving.id].answer["cue"] == cue


def test_a_tick_without_a_word_keeps_what_was_typed(taster):
    pick = taster.confirm().serving.codes[0]
    answer = taster.tap("draft", pick=pick, cued="on", cue="", comment="flat")
    assert (answer.status_code, "Say in a word or two" in answer.text) == (422, True)
    assert 'name="cued" value="on" checked' in answer.text
    assert "flat</textarea>" in answer.text


def test_a_panel_may_be_asked_which_of_two_cups_has_more(client, make_tasting):
    made = make_tasting(method="2-afc", attribute="bitterness", more="A")
    page = Taster(client, made).sit_down().confirm().look()
    assert heading(page) == "Which cup has more bitterness?"
    assert re.findall(r'name="pick" value="(\d+)"', page) == list(made.servings(1)[0].codes)


def test_whoever_likes_neither_may_say_so_where_the_plan_takes_it(client, make_tasting, bench):
    made = make_tasting(method="paired-preference", no_preference="left_out")
    taster = Taster(client, made).sit_down().confirm()
    page = taster.look()
    assert heading(page) == "Which cup do you like better?"
    assert "I guessed" not in page
    codes = list(made.servings(1)[0].codes)
    assert re.findall(r'name="pick" value="(\w+)"', page) == [*codes, "neither"]
    taster.tap("draft", pick="neither")
    assert "You like neither cup better." in taster.look()
    taster.answer(taster.serving, "neither")
    with bench.reading() as db:
        given = queries.load_record(db, made.id).answers[taster.serving.id]
    assert given.answer["pick"] == "neither"


def test_an_open_cup_comes_before_the_first_code(client, make_tasting):
    told = {"open_cups": "AB", "told_shares": "on"}
    taster = Taster(client, make_tasting(method="a-not-a", rounds="2", **told))
    page = taster.look()
    assert "Two open cups stand before you" in page
    assert "Half of your cups with codes are A" in page
    assert heading(taster.sit_down().confirm().look()) == "Is this cup A?"


def test_nobody_is_told_of_shares_that_are_not_to_be_told(client, make_tasting):
    page = Taster(client, make_tasting(method="same-different", rounds="4")).look()
    assert "Half of your" not in page
    assert "open cup" not in page


@pytest.mark.parametrize(
    ("method", "said", "verdict"),
    [
        ("a-not-a", "yes", "You say this cup is A."),
        ("a-not-a", "no", "You say this cup is not A."),
        ("same-different", "yes", "You say these two are the same."),
        ("same-different", "no", "You say these two are different."),
    ],
)
def test_a_serving_is_called_one_thing_or_the_other(client, make_tasting, method, said, verdict):
    taster = Taster(client, make_tasting(method=method, rounds="4")).sit_down().confirm()
    refused = taster.tap("draft")
    assert refused.status_code == 422
    assert "Choose one answer" in refused.text
    taster.tap("draft", said=said)
    assert verdict in taster.look()
    taster.tap("change")
    assert f'name="said" value="{said}" required checked' in taster.look()


def test_whoever_has_to_choose_finds_no_way_out(client, make_tasting):
    taster = Taster(client, make_tasting(method="paired-preference")).sit_down().confirm()
    assert "neither" not in taster.look().replace("If you like neither better", "")
    refused = taster.tap("draft", pick="neither")
    assert refused.status_code == 422
    assert "Pick the cup that you like better." in refused.text


def test_after_the_last_answer_the_seat_is_thanked(taster):
    page = taster.answer_all().look()
    assert heading(page) == "Thank you, that was all"
    assert "3 answers of this seat are locked." in page


# never a second answer, never a lost one


def test_a_double_tap_locks_one_answer(taster, record):
    pick = taster.confirm().serving.codes[0]
    first, second = (taster.answer(taster.serving, pick) for _ in range(2))
    assert (first.status_code, second.status_code) == (303, 303)
    assert len(record().answers) == 1
    assert not record().contests


def test_a_second_device_finds_the_draft(taster, open_browser):
    taster.confirm().tap("draft", pick=taster.serving.codes[0])
    assert heading(replace(taster, browser=open_browser()).look()) == "Lock this answer?"


def test_a_different_answer_from_a_second_device_is_kept_as_contested(taster, open_browser, record):
    first, second, _ = taster.confirm().serving.codes
    taster.answer(taster.serving, first)
    replace(taster, browser=open_browser()).answer(taster.serving, second)
    assert record().answers[taster.serving.id].answer["pick"] == first
    assert "Two different answers to round 1" in taster.look()


def test_a_settled_contest_is_no_longer_mentioned(taster, bench):
    first, second, _ = taster.confirm().serving.codes
    taster.answer(taster.serving, first)
    taster.answer(taster.serving, second)
    closing.settle_contest(bench, taster.made.id, taster.serving.id, "1")
    assert "Two different answers" not in taster.look()


def test_confirming_twice_is_one_event(taster, record):
    version = record().version
    taster.confirm().confirm()
    assert record().version == version + 2  # serving began, codes confirmed


def test_starting_twice_is_one_event(taster, record):
    version = record().version
    taster.tap("start")
    assert record().version == version


def test_an_answer_out_of_turn_is_not_taken(taster, record):
    later = taster.made.servings(1)[1]
    answer = taster.confirm().answer(later, later.codes[0])
    assert answer.status_code == 409
    assert "Nothing was changed" in answer.text
    assert not record().answers


def test_an_answer_without_a_form_key_is_taken_all_the_same(taster, record):
    taster.confirm().tap("answer", pick=taster.serving.codes[0])
    assert taster.serving.id in record().answers


@pytest.mark.parametrize(
    ("told", "kept"),
    [("2031-05-14T11:02:03.004+02:00", "2031-05-14T11:02:03.004+02:00"), ("noon", None)],
)
def test_the_device_clock_is_kept_if_it_is_one(taster, bench, told, kept):
    taster.confirm().answer(taster.serving, taster.serving.codes[0], device_at=told)
    with bench.reading() as db:
        last = queries.load_events(db, taster.made.id)[-1]
    assert last.body["device_at"] == kept


# forms that cannot be taken


@pytest.mark.parametrize("script", [False, True])
def test_without_a_pick_the_ballot_comes_back_with_what_was_typed(taster, script):
    answer = replace(taster.confirm(), script=script).tap("draft", comment="flat", guess="on")
    assert answer.status_code == 422
    assert "Pick one cup, even if you have to guess." in answer.text
    assert "flat</textarea>" in answer.text
    assert 'value="on" checked' in answer.text


def test_a_code_from_another_tray_is_not_taken(taster):
    other = taster.made.servings(2)[0].codes[0]
    answer = taster.confirm().tap("draft", pick=other)
    assert (answer.status_code, "not on this tray" in answer.text) == (422, True)


def test_a_bad_answer_is_not_locked(taster, record):
    taster.confirm().tap("draft", pick=taster.serving.codes[0])
    assert taster.answer(taster.serving, "000").status_code == 422
    assert not record().answers


def test_a_verdict_on_the_codes_is_needed(taster, record):
    answer = taster.tap("codes", verdict="maybe")
    assert (answer.status_code, "Say whether these codes" in answer.text) == (422, True)
    assert not record().confirmed


def test_markup_in_a_comment_stays_text(taster):
    taster.confirm().tap("draft", pick=taster.serving.codes[0], comment="<script>x</script>")
    assert "<script>x" not in taster.look()


# links and servings that do not fit

POSTS = ("start", "codes", "draft", "change", "answer")


def test_an_unknown_link_opens_a_friendly_page(client):
    answer = client.get("/seat/0123456789abcdef")
    assert (answer.status_code, heading(answer.text)) == (404, "This link opens no seat")


@pytest.mark.parametrize("path", POSTS)
def test_nothing_can_be_sent_to_an_unknown_seat(client, path):
    form = {"serving": str(UUID(int=1)), "verdict": "yes", "pick": "412"}
    answer = client.post(f"/seat/0123456789abcdef/{path}", form)
    assert (answer.status_code, heading(answer.text)) == (404, "This link opens no seat")


@pytest.mark.parametrize("path", ["codes", "draft", "answer"])
@pytest.mark.parametrize("which", ["another seat's", "malformed"])
def test_a_serving_of_another_seat_is_not_taken(taster, record, path, which):
    version, other = record().version, taster.made.servings(2)[0]
    serving = other if which == "another seat's" else "none' or 1=1"
    answer = taster.tap(path, serving, verdict="yes", pick=other.codes[0])
    assert (answer.status_code, "does not belong to this seat" in answer.text) == (404, True)
    assert record().version == version


@pytest.mark.parametrize("path", ["start", "codes", "draft", "change", "answer"])
def test_a_post_is_not_a_page(taster, path):
    assert taster.browser.get(f"{taster.url}/{path}").status_code == 405


# spare servings, closing, abandoning


def test_a_spare_serving_stands_in_for_a_voided_one(taster, bench):
    bar = pouring.find_bar(bench, taster.made.pourer)
    spare = pouring.void_serving(bench, bar, taster.serving.id, "dropped")
    codes = next(one.codes for one in taster.made.sealed.servings if one.id == spare)
    page = taster.look()
    assert re.findall(r'class="cup">(\d+)<', page) == list(codes)
    assert "Round 1 of 3" in page


def test_a_voided_serving_without_a_spare_one_is_skipped(client, bench, make_tasting):
    taster = Taster(client, make_tasting(spare_seats="0")).sit_down()
    bar = pouring.find_bar(bench, taster.made.pourer)
    pouring.void_serving(bench, bar, taster.serving.id, "dropped")
    assert "Round 2 of 3" in taster.look()


def test_a_closed_tasting_says_so(taster, bench):
    close(bench, taster.made)
    assert heading(taster.look()) == "The tasting is closed"


def test_an_abandoned_tasting_says_so(taster, bench):
    closing.abandon_tasting(bench, taster.made.id, "the kettle broke")
    assert heading(taster.look()) == "The tasting was given up"


def test_everybody_sees_the_seal_before_the_first_sip(client, sealed_tasting):
    page = client.get(f"/seat/{sealed_tasting.tokens[1]}").text
    assert spaced(sealed_tasting.seal) in page


def test_a_closed_seat_shows_the_seal_and_the_head_of_the_chain(taster, bench):
    close(bench, taster.made)
    with bench.reading() as db:
        head = queries.load_record(db, taster.made.id).head
    page = taster.look()
    assert taster.made.seal in page
    assert head in page


def test_unsealing_changes_nothing_at_a_seat_but_head_and_verdict_of_the_seal(taster, bench):
    close(bench, taster.made)
    before = taster.look()
    closing.unseal_tasting(bench, taster.made.id)
    after = taster.look()
    assert "the seal holds" in after
    changed = set(after.splitlines()) - set(before.splitlines())
    assert len(changed) == 2


def test_a_page_that_loses_its_server_can_say_so(client, sealed_tasting):
    page = client.get(f"/seat/{sealed_tasting.tokens[1]}").text
    assert re.search(r'<p id="offline"[^>]* hidden>The server cannot be reached', page)
    assert re.search(r'<p id="unsent"[^>]* hidden>The server cannot be reached', page)
    assert "/static/ballot.js" in page


@pytest.mark.parametrize("path", ["start", "codes"])
def test_nothing_more_can_be_said_about_codes_after_closing(taster, bench, path):
    close(bench, taster.made)
    assert taster.tap(path, verdict="yes").status_code == 409


def test_an_answer_after_closing_is_kept_as_late(taster, bench, record):
    taster.confirm()
    close(bench, taster.made)
    taster.answer(taster.serving, taster.serving.codes[0])
    assert [one.serving for one in record().late] == [taster.serving.id]
    assert "came after closing" in taster.look()


def test_an_answer_not_locked_in_time_can_still_be_sent(taster, bench):
    taster.confirm().tap("draft", pick=taster.serving.codes[0])
    close(bench, taster.made)
    assert "Send it as late" in taster.look()


def test_a_late_answer_is_offered_only_once(taster, bench):
    taster.confirm()
    close(bench, taster.made)
    taster.answer(taster.serving, taster.serving.codes[0])
    taster.tap("draft", pick=taster.serving.codes[0])
    assert "Send it as late" not in taster.look()


# with a script


@pytest.mark.parametrize("path", POSTS)
def test_with_a_script_the_next_step_comes_in_the_same_response(taster, path):
    fast = replace(taster, script=True)
    answer = fast.tap(path, verdict="yes", pick=taster.serving.codes[0])
    assert answer.status_code == 200
    assert answer.text.lstrip().startswith('<section id="step"')


@pytest.mark.parametrize("path", POSTS)
def test_without_a_script_a_post_leads_back_to_the_seat(taster, path):
    answer = taster.tap(path, verdict="yes", pick=taster.serving.codes[0])
    assert (answer.status_code, answer.headers["location"]) == (303, taster.url)


# without a network: what the page carries for later


def ahead(page: str) -> dict[str, str]:
    """What the page holds for each part of what is to come."""
    parts = re.findall(r'<template data-part="([^"]+)"[^>]*>(.*?)</template>', page, re.S)
    return dict(parts)


def test_a_page_holds_codes_and_ballot_of_every_serving_to_come(taster):
    parts = ahead(taster.open())
    for one in taster.made.servings(1):
        assert re.findall(r'class="cup">(\d+)<', parts[f"codes {one.id}"]) == list(one.codes)
        assert re.findall(r'"pick" value="(\d+)"', parts[f"ballot {one.id}"]) == list(one.codes)


def test_what_is_answered_is_held_no_more(taster):
    taster.confirm().answer(taster.serving, taster.serving.codes[0])
    assert f"codes {taster.serving.id}" not in ahead(taster.open())


def test_a_spare_serving_is_held_in_place_of_a_voided_one(taster, bench):
    bar = pouring.find_bar(bench, taster.made.pourer)
    later = taster.made.servings(1)[1]
    spare = pouring.void_serving(bench, bar, later.id, "dropped")
    parts = ahead(taster.open())
    assert f"codes {spare}" in parts
    assert f"codes {later.id}" not in parts


def test_nothing_is_held_once_the_tasting_is_over(taster, bench):
    close(bench, taster.made)
    assert not [name for name in ahead(taster.open()) if name.startswith("codes")]


def test_an_unlocked_answer_stands_in_the_ballot_that_is_held(taster):
    pick = taster.serving.codes[1]
    taster.confirm().tap("draft", pick=pick, comment="a little flat")
    held = ahead(taster.open())[f"ballot {taster.serving.id}"]
    assert f'value="{pick}" required checked' in held
    assert "a little flat</textarea>" in held


def test_a_tap_brings_the_step_alone(taster):
    answer = replace(taster, script=True).tap("codes", verdict="yes")
    assert "<template" not in answer.text
    assert len(answer.content) < 4000


def test_a_page_with_six_servings_to_come_is_light(client, make_tasting):
    page = Taster(client, make_tasting(rounds="6")).open()
    assert len(re.findall('data-part="codes', page)) == 6
    assert len(page.encode()) < 40_000


def test_a_form_about_codes_speaks_once_however_often_it_is_sent(taster, bench, record):
    taster.tap("codes", verdict="differ", client_key="one")
    bar = pouring.find_bar(bench, taster.made.pourer)
    pouring.settle_call(bench, bar, taster.serving.id)
    taster.tap("codes", verdict="differ", client_key="one")
    assert not record().calls
    taster.tap("codes", verdict="differ", client_key="another")
    assert record().calls


def test_a_late_call_to_a_spilt_serving_calls_nobody(taster, bench, record):
    spilt = taster.serving
    pouring.void_serving(bench, pouring.find_bar(bench, taster.made.pourer), spilt.id, "spilt")
    assert taster.tap("codes", spilt, verdict="differ").status_code == 303
    assert not record().calls


# the minute between two rounds


def rest(page: str) -> int:
    return int(re.search(r'data-rest="(\d+)"', page)[1])


def test_after_a_locked_answer_the_rest_of_a_minute_is_counted(taster, clock):
    taster.confirm().answer(taster.serving, taster.serving.codes[0])
    assert rest(taster.look()) == 60
    clock.advance(seconds=17)
    assert rest(taster.look()) == 43
    clock.advance(minutes=5)
    assert rest(taster.look()) == 0


def test_before_the_first_answer_nobody_has_to_rest(taster):
    assert rest(taster.look()) == 0


def test_time_on_the_device_counts_as_rest(taster):
    clocks = {"device_at": "1999-01-01T00:00:05Z", "sent_at": "1999-01-01T00:00:45Z"}
    taster.confirm().answer(taster.serving, taster.serving.codes[0], **clocks)
    assert rest(taster.look()) == 20


# blindness


def test_a_seat_never_sees_the_samples_or_the_question(taster, plan_form):
    pages = [Taster(taster.browser, taster.made, 2).look(), taster.look(), taster.confirm().look()]
    pages += [taster.answer_all().look()]
    hidden = [plan_form()[one] for one in ("question", "sample_a", "sample_b", "difference")]
    assert not [word for word in hidden for page in pages if word in page]


def test_a_seat_shows_no_codes_but_its_own_next_ones(taster):
    page = taster.look()
    others = [one for one in taster.made.sealed.servings if one != taster.serving]
    assert not [code for one in others for code in one.codes if f">{code}<" in page]


def test_no_page_of_a_seat_holds_codes_of_another_seat(taster):
    page = taster.open()
    others = [one for one in taster.made.sealed.servings if one.seat != taster.number]
    assert not [code for one in others for code in one.codes if f">{code}<" in page]


def test_no_page_of_a_seat_points_outside(taster):
    links = re.findall(r'(?:href|src|action)="([^"]+)"', taster.look() + taster.confirm().look())
    assert all(link.startswith("/") and not link.startswith("//") for link in links)


def test_a_seat_lives_in_its_link_alone(taster):
    taster.answer_all()
    assert not dict(taster.browser.cookies)


def test_the_number_of_queries_does_not_grow(taster, bench):
    def count() -> int:
        seen = []
        listener = (bench.engine, "before_cursor_execute", lambda *_: seen.append(1))
        event.listen(*listener)
        taster.look()
        event.remove(*listener)
        return len(seen)

    early = count()
    Taster(taster.browser, taster.made, 2).sit_down().answer_all()
    assert count() == early <= 20


@pytest.mark.parametrize("step", ["start", "codes"])
def test_the_number_of_queries_is_the_same_for_few_and_many_rounds(
    client, bench, make_tasting, step
):
    def count(rounds: str) -> int:
        taster, seen = Taster(client, make_tasting(rounds=rounds)), []
        taster.tap(step, verdict="yes")
        taster.open()  # what is sealed is read once
        listener = (bench.engine, "before_cursor_execute", lambda *_: seen.append(1))
        event.listen(*listener)
        taster.open()
        event.remove(*listener)
        return len(seen)

    assert count("1") == count("6")
