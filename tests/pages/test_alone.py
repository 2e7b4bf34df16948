"""The seat of somebody who pours and tastes alone, tapped through without a script."""

import io
import re
from dataclasses import dataclass
from typing import Any

import pytest
from PIL import Image

from server.pages.guard import LARGEST_BODY
from server.tastings.marking import name_field
from server.tastings.photos import LARGEST_PHOTO, list_photos
from tests.pages.test_assessor import ahead, heading
from tests.playing_alone import PlayAlone


@dataclass
class OwnTaster:
    """Somebody with a phone, alone with the cups."""

    browser: Any
    play: PlayAlone
    script: bool = False

    @property
    def url(self) -> str:
        return f"/seat/{self.play.made.tokens[1]}"

    def open(self, more: str = "") -> str:
        return self.browser.get(self.url + more).text

    def look(self, more: str = "") -> str:
        return self.open(more).partition('<div id="ahead"')[0]

    def tap(self, path: str, **form: str) -> Any:
        return self.browser.post(f"{self.url}/{path}", form, script=self.script)

    def name(self, number: int, sitting: int = 1) -> dict[str, str]:
        return {"serving": str(self.play.servings(sitting)[number].id)}

    def place(self, number: int, sitting: int = 1) -> None:
        """Shuffle, place, lay the codes."""
        self.tap("shuffled", **self.name(number, sitting), seconds="24")
        self.tap("codes", **self.name(number, sitting), verdict="yes")

    def taste(self, sitting: int = 1) -> None:
        for number, serving in enumerate(self.play.servings(sitting)):
            self.place(number, sitting)
            form = {"pick": serving.codes[0], "client_key": f"k{serving.id}", "cue": ""}
            assert self.tap("answer", **self.name(number, sitting), **form).status_code == 303

    def read_marks(self, sitting: int = 1) -> dict[str, str]:
        return {
            name_field(cup): slot
            for one in self.play.servings(sitting)
            for cup, slot in zip(one.cups, self.play.under[one.id], strict=True)
        }

    def turn(self, sitting: int = 1, photo: bytes = b"", **form: str) -> Any:
        sent = self.read_marks(sitting) | form
        files = {"photo": ("cups.jpg", photo, "image/jpeg")} if photo else None
        return self.browser.post(f"{self.url}/marks/{sitting}", sent, files=files)


@pytest.fixture
def taster(client, alone):
    found = OwnTaster(client, alone)
    found.tap("start")
    return found


@pytest.fixture
def ready(taster):
    """A sitting prepared."""
    taster.tap("prepared", sitting="1")
    return taster


@pytest.fixture
def tasted(ready):
    """A sitting tasted to its end, its cups not turned yet."""
    ready.taste()
    return ready


def take_photo() -> bytes:
    out = io.BytesIO()
    Image.new("RGB", (60, 40), "grey").save(out, "JPEG")
    return out.getvalue()


# one step after the other


def test_the_instructions_say_where_the_truth_lies(client, alone):
    page = OwnTaster(client, alone).look()
    assert heading(page) == "Before you taste"
    assert "The truth is written under the cups" in page
    assert "65 °C or below" in page
    assert "never where lips or the drink touch them" in page


def test_first_the_cups_are_marked_and_covered(taster):
    page = taster.look()
    assert heading(page) == "Mark the cups underneath"
    assert "You need 9 identical cups" in page


def test_then_it_says_how_many_cups_of_what_to_pour_and_never_which(ready):
    page = ready.look()
    assert heading(page) == "Pour, then shuffle"
    serving = ready.play.servings(1)[0]
    for mark in "AB":
        assert f"{[slot[0] for slot in serving.pours].count(mark)} × {mark}" in page
    assert not [code for code in serving.codes if code in page]


def test_after_the_shuffle_the_cups_have_codes_from_left_to_right(ready):
    ready.tap("shuffled", **ready.name(0), seconds="24")
    page = ready.look()
    assert heading(page) == "Now your cups have codes"
    assert re.findall(r'class="cup">(\d+)<', page) == list(ready.play.servings(1)[0].codes)
    assert "Call the pourer" not in page


def test_then_the_ballot_asks_for_a_cue_too(ready):
    ready.place(0)
    page = ready.look()
    assert "Which is the odd cup?" in page
    assert "Something other than smell and taste told me" in page


def test_after_a_lock_the_cups_are_slid_aside_unlifted(ready):
    ready.place(0)
    ready.tap("answer", **ready.name(0), pick=ready.play.servings(1)[0].codes[0])
    page = ready.look()
    assert "without lifting one" in page
    assert "Sitting 1 of 2\nRound 2 of 6" in page


def test_after_the_last_lock_the_cups_are_turned(tasted):
    page = tasted.look()
    assert heading(page) == "Now turn the cups"
    codes = [code for one in tasted.play.servings(1) for code in one.codes]
    assert re.findall(r'<legend class="number">(\d+)<', page) == codes


def test_marks_are_shown_once_more_before_they_are_entered(tasted):
    answer = tasted.turn()
    assert (answer.status_code, heading(answer.text)) == (200, "Is this what the marks say?")
    assert not tasted.play.record.reveals
    answer = tasted.turn(sure="on")
    assert (answer.status_code, answer.headers["location"]) == (303, tasted.url)
    assert set(tasted.play.record.reveals) == {1}


def test_marks_may_be_changed_before_they_are_entered(tasted):
    answer = tasted.turn(change="on")
    assert heading(answer.text) == "Now turn the cups"
    for name, slot in tasted.read_marks().items():
        assert f'name="{name}" value="{slot}" required checked' in answer.text


def test_between_two_sittings_there_is_a_pause(tasted):
    tasted.turn(sure="on")
    page = tasted.look()
    assert heading(page) == "Sitting 1 is complete"
    assert "Come back for sitting 2 of 2" in page
    assert heading(tasted.look("?sitting=2")) == "Mark the cups underneath"


@pytest.mark.parametrize("asked", ["?sitting=1", "?sitting=3", "?sitting=x", "?sitting=²"])
def test_no_other_sitting_can_be_begun(tasted, asked):
    tasted.turn(sure="on")
    assert heading(tasted.look(asked)) == "Sitting 1 is complete"


def test_at_the_end_the_leaders_page_is_one_tap_away(tasted):
    tasted.turn(sure="on")
    tasted.tap("prepared", sitting="2")
    tasted.taste(2)
    tasted.turn(2, sure="on")
    page = tasted.look()
    assert heading(page) == "Thank you, that was all"
    assert f'href="/tastings/{tasted.play.made.id}"' in page


def test_closed_with_cups_unturned_their_marks_are_still_asked_for(tasted):
    tasted.play.close("called away")
    assert heading(tasted.look()) == "Now turn the cups"
    tasted.turn(sure="on")
    assert heading(tasted.look()) == "The tasting is closed"


# what is not taken


def test_impossible_marks_come_back_as_they_were_tapped(tasted):
    one = tasted.play.servings(1)[0]
    wrong = {name_field(cup): one.pours[0] for cup in one.cups}
    answer = tasted.turn(sure="on", **wrong)
    assert (answer.status_code, heading(answer.text)) == (422, "Now turn the cups")
    assert len(re.findall(r'<p class="error" id="wrong-1"[^>]*>These marks cannot be', answer.text))
    for name, slot in (tasted.read_marks() | wrong).items():
        assert f'name="{name}" value="{slot}" required checked' in answer.text
    assert not tasted.play.record.reveals


def test_a_cup_without_a_mark_is_asked_for_again(tasted):
    answer = tasted.browser.post(f"{tasted.url}/marks/1", {})
    assert answer.status_code == 422
    assert answer.text.count("Say of every cup what its mark says") == 3


def test_no_cup_is_turned_before_the_last_answer(ready):
    ready.place(0)
    answer = ready.turn(sure="on")
    assert (answer.status_code, "Nothing was changed" in answer.text) == (409, True)
    assert ready.browser.get(f"{ready.url}/marks/1").status_code == 404


@pytest.mark.parametrize("sitting", [2, 7])
def test_there_is_nothing_to_turn_of_another_sitting(tasted, sitting):
    assert tasted.browser.get(f"{tasted.url}/marks/{sitting}").status_code == 404
    assert tasted.browser.post(f"{tasted.url}/marks/{sitting}", {}).status_code in (404, 409)


@pytest.mark.parametrize("sitting", ["", "x", "2", "99999"])
def test_a_sitting_out_of_turn_is_not_prepared(taster, sitting):
    answer = taster.tap("prepared", sitting=sitting)
    assert (answer.status_code, "Nothing was changed" in answer.text) in ((404, True), (409, True))
    assert not taster.play.record.prepared


@pytest.mark.parametrize(
    ("told", "kept"),
    [("24", 24), ("0", 0), ("", None), ("soon", None), ("-3", None), ("9" * 9, None)],
)
def test_seconds_are_kept_as_a_script_measured_them(ready, told, kept):
    ready.tap("shuffled", **ready.name(0), seconds=told)
    assert ready.play.record.shuffled == {ready.play.servings(1)[0].id: kept}


def test_later_cups_are_not_shuffled_out_of_turn(ready):
    assert ready.tap("shuffled", **ready.name(1), seconds="24").status_code == 409
    assert not ready.play.record.shuffled


# mishaps


def test_cups_that_went_wrong_are_given_up_for_the_next_ones(ready):
    ready.place(0)
    assert ready.tap("give-up", **ready.name(0), why="seen").status_code == 303
    assert "Round 2 of 6" in ready.look()
    ((void),) = ready.play.record.voids.values()
    assert (void.reason, void.replacement) == ("a mark was seen", None)


def test_without_a_reason_the_form_comes_back_open(ready):
    answer = ready.tap("give-up", **ready.name(0))
    assert (answer.status_code, "Say what happened." in answer.text) == (422, True)
    assert re.search(r"<details open>\s*<summary>Something went wrong", answer.text)


def test_giving_up_twice_is_one_event(ready):
    for _ in range(2):
        ready.tap("give-up", **ready.name(0), why="spilt")
    assert len(ready.play.record.voids) == 1
    assert "Round 2 of 6" in ready.look()


def test_a_mark_of_answered_cups_that_was_seen_is_noted(ready):
    assert "I saw a mark of cups already answered" not in ready.look()
    ready.place(0)
    ready.tap("answer", **ready.name(0), pick=ready.play.servings(1)[0].codes[0])
    assert "I saw a mark of cups already answered" in ready.look()
    assert ready.tap("seen").status_code == 303
    assert len(ready.play.record.looks) == 1
    assert "On record: a mark of cups already answered was seen." in ready.look()


def test_nobody_can_be_called(ready):
    ready.tap("shuffled", **ready.name(0))
    assert ready.tap("codes", **ready.name(0), verdict="differ").status_code == 409
    assert heading(ready.look()) == "Now your cups have codes"


# corrections and photos


def test_marks_on_record_may_be_corrected_until_unsealing(tasted):
    cup = tasted.play.servings(1)[0].cups[0]
    tasted.turn(sure="on", **{name_field(cup): "lost"})
    page = tasted.look("/marks/1")
    assert "What was entered before stays on record" in page
    assert f'name="{name_field(cup)}" value="lost" required checked' in page
    tasted.turn(sure="on")
    assert len(tasted.play.record.reveals[1]) == 2
    tasted.play.close("enough for this time")
    assert "Correct the marks of sitting 1" in tasted.look()
    tasted.play.unseal()
    assert "Correct the marks" not in tasted.look()
    assert tasted.turn(sure="on").status_code == 409
    assert tasted.browser.get(f"{tasted.url}/marks/1").status_code == 404


def test_entering_the_same_marks_twice_is_one_event(tasted):
    for _ in range(2):
        assert tasted.turn(sure="on").status_code == 303
    assert len(tasted.play.record.reveals[1]) == 1


def test_a_photo_comes_with_the_marks(tasted, bench):
    photo = take_photo()
    assert tasted.turn(photo=photo, sure="on").status_code == 303
    kept = list_photos(bench, tasted.play.made.id)
    assert [tasted.play.record.reveals[1][-1].photo] == kept


@pytest.mark.parametrize(
    ("photo", "message"),
    [(b"no picture", "This is no picture"), (bytes(LARGEST_PHOTO + 1), "This picture is larger")],
)
def test_a_photo_that_cannot_be_taken_leaves_the_marks_on_the_page(tasted, photo, message):
    answer = tasted.turn(photo=photo, sure="on")
    assert (answer.status_code, heading(answer.text)) == (422, "Is this what the marks say?")
    assert re.search(rf'id="photo-error"[^>]*>{message}', answer.text)
    for name, slot in tasted.read_marks().items():
        assert f'name="{name}" value="{slot}"' in answer.text
    assert not tasted.play.record.reveals


def test_only_marks_may_come_with_so_much(tasted):
    data = {"comment": "a" * LARGEST_BODY}
    assert tasted.browser.post(f"{tasted.url}/seen", data).status_code == 413
    long = {"Content-Length": str(12 * 1024 * 1024)}
    assert tasted.browser.post(f"{tasted.url}/marks/1", {"a": "b"}, headers=long).status_code == 413


# links that do not fit

POSTS = ("prepared", "shuffled", "give-up", "seen", "marks/1")
FORM = {"sitting": "1", "why": "seen", "seconds": "24", "sure": "on"}


@pytest.mark.parametrize("path", POSTS)
def test_nothing_can_be_sent_to_an_unknown_seat(client, path):
    answer = client.post(f"/seat/0123456789abcdef/{path}", FORM)
    assert (answer.status_code, heading(answer.text)) == (404, "This link opens no seat")


@pytest.mark.parametrize("path", POSTS)
def test_where_somebody_else_pours_nothing_of_it_is_taken(client, play, path):
    version, serving = play.record.version, play.made.servings(1)[0]
    answer = client.post(f"/seat/{play.made.tokens[1]}/{path}", FORM | {"serving": str(serving.id)})
    assert (answer.status_code, "does not belong to this seat" in answer.text) == (404, True)
    assert play.record.version == version


def test_a_panels_seat_has_no_marks_to_show(client, play):
    assert client.get(f"/seat/{play.made.tokens[1]}/marks/1").status_code == 404
    assert client.get("/seat/0123456789abcdef/marks/1").status_code == 404


@pytest.mark.parametrize("path", ["shuffled", "give-up"])
@pytest.mark.parametrize("serving", ["", "none' or 1=1", "00000000-0000-0000-0000-000000000001"])
def test_an_unknown_serving_is_not_taken(ready, path, serving):
    version = ready.play.record.version
    assert ready.tap(path, serving=serving, why="seen").status_code == 404
    assert ready.play.record.version == version


@pytest.mark.parametrize("path", ["prepared", "shuffled", "give-up", "seen"])
def test_a_post_is_not_a_page(ready, path):
    assert ready.browser.get(f"{ready.url}/{path}").status_code == 405


# with a script, and without a network


def test_with_a_script_the_next_step_comes_in_the_same_response(ready):
    ready.script = True
    answer = ready.tap("shuffled", **ready.name(0), seconds="24")
    assert answer.status_code == 200
    assert answer.text.lstrip().startswith('<section id="step"')


def test_a_page_holds_every_step_of_this_sitting_and_none_of_the_next(taster):
    parts = ahead(taster.open())
    first, *rest = taster.play.servings(1)
    assert f"prepare {first.id}" in parts
    for one in (first, *rest):
        assert {f"{part} {one.id}" for part in ("pour", "codes", "ballot")} <= set(parts)
    assert not [name for one in rest for name in parts if name == f"prepare {one.id}"]
    assert not [name for one in taster.play.servings(2) for name in parts if str(one.id) in name]


def test_what_lies_ahead_says_to_keep_the_cups_standing(ready):
    assert "turn no cup before this page asks you to" in ahead(ready.open())["end"]


def test_a_page_of_six_rounds_is_light(client, bench, make_tasting):
    play = PlayAlone(bench, make_tasting(pourer="alone", sittings="1", rounds="6"))
    page = OwnTaster(client, play).open()
    assert len(page.encode()) < 80_000


def test_the_number_of_queries_does_not_grow(ready, count_queries):
    early = count_queries(ready.look)
    ready.taste()
    assert count_queries(ready.look) <= early + 1


# what a seat alone never shows


def test_no_page_says_whether_an_answer_was_right(tasted):
    tasted.turn(sure="on")
    pages = tasted.look() + tasted.look("?sitting=2") + tasted.look("/marks/1")
    assert not re.search(r"correct answer|were right|was right|wrong", pages, re.IGNORECASE)


# a direction that was named


@pytest.fixture
def named(client, bench, make_tasting):
    """Make a seat alone whose plan names a direction."""

    def make(**plan: str) -> OwnTaster:
        made = make_tasting(
            pourer="alone", sittings="1", rounds="2", attribute="<b>bitter", more="B", **plan
        )
        found = OwnTaster(client, PlayAlone(bench, made))
        found.tap("start")
        found.tap("prepared", sitting="1")
        found.place(0)
        return found

    return make


def test_a_triad_with_a_direction_says_how_the_odd_cup_differs(named):
    taster = named()
    serving = taster.play.servings(1)[0]
    lean = "more" if [slot[0] for slot in serving.pours].count("B") == 1 else "less"
    assert f"This time the odd cup has {lean} of this: &lt;b&gt;bitter." in taster.look()


def test_a_pair_asks_by_name_and_says_it_again(named):
    taster = named(method="2-afc")
    assert heading(taster.look()) == "Which cup has more &lt;b&gt;bitter?"
    pick = taster.play.servings(1)[0].codes[1]
    taster.tap("draft", **taster.name(0), pick=pick, cued="on", cue="a darker ring")
    page = taster.look()
    assert f"You say {pick} has more &lt;b&gt;bitter." in page
    assert "You noted that something else told you: a darker ring" in page
    assert "This time the odd cup" not in page
