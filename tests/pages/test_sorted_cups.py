"""Ballots of sorted and of ticked cups, without a script."""

import re
from html import unescape

import pytest

from server.methods.registry import get_method
from tests.answers import list_answers
from tests.playing import Play

SMALL = {"assessors": "1", "rounds": "1", "spare_seats": "0"}


class Seat:
    """One seat with its cups in front of it, tapped through without a script."""

    def __init__(self, client, play):
        self.client, self.play = client, play
        self.url = f"/seat/{play.made.tokens[1]}"
        self.serving = play.made.servings(1)[0]
        self.tap("start")
        self.tap("codes", verdict="yes")

    def tap(self, path, **form):
        return self.client.post(f"{self.url}/{path}", {"serving": str(self.serving.id)} | form)

    def look(self):
        return unescape(self.client.get(self.url).text.partition('<div id="ahead"')[0])

    def list_checked(self):
        """Values of the ballot's own boxes and radios that are checked."""
        found = re.findall(r'name="(?:pairs|cup\d)" value="([^"]+)"[^>]* checked', self.look())
        return " ".join(found)

    @property
    def given(self):
        return self.play.record.answers[self.serving.id].answer


@pytest.fixture
def seat(client, bench, make_tasting):
    return lambda method: Seat(client, Play(bench, make_tasting(method=method, **SMALL)))


def list_offered(page):
    return re.findall(r'name="(?:pairs|cup\d)" value="([^"]+)"', page.look())


def test_a_tetrads_ballot_offers_each_way_to_sort_the_cups_once(seat):
    page = seat("tetrad")
    a, b, c, d = page.serving.codes
    assert list_offered(page) == [f"{a} {b} / {c} {d}", f"{a} {c} / {b} {d}", f"{a} {d} / {b} {c}"]


def test_five_cups_are_offered_as_they_stand(seat):
    page = seat("two-out-of-five")
    assert tuple(list_offered(page)) == page.serving.codes


@pytest.mark.parametrize("method", ["tetrad", "two-out-of-five"])
@pytest.mark.parametrize("choice", [0, 1, 2])
def test_a_draft_can_be_changed_and_the_second_choice_is_locked(seat, method, choice):
    page = seat(method)
    forms = list_answers(get_method(method), page.serving.codes)
    page.tap("draft", **forms[choice])
    page.tap("change")
    assert page.list_checked() == " ".join(forms[choice].values())
    other = forms[choice - 1]
    page.tap("draft", **other)
    shown = page.look()
    sent = dict(re.findall(r'<input type="hidden" name="(\w+)" value="([^"]*)"', shown))
    assert page.tap("answer", **sent).status_code == 303
    body = get_method(method).parse_answer(other, page.serving.codes)
    assert page.given | {"guess": False} == body


@pytest.mark.parametrize(
    ("method", "form", "message"),
    [
        ("tetrad", {}, "Choose one way to sort them"),
        ("tetrad", {"pairs": "1 2 / 3 4"}, "Sort the four cups of this tray"),
        ("two-out-of-five", {}, "Tick exactly two cups"),
        ("two-out-of-five", {"pair": "1 2"}, "That code is not on this tray"),
    ],
)
@pytest.mark.parametrize("path", ["draft", "answer"])
def test_what_is_no_answer_has_its_message_beside_it(seat, method, form, message, path):
    page = seat(method)
    answer = page.tap(path, **form)
    assert answer.status_code == 422
    shown = answer.text.partition('<div id="ahead"')[0]
    assert re.search(rf'<p class="error"[^>]*role="alert">{message}', shown)
    assert page.serving.id not in page.play.record.answers


def test_three_ticks_stay_ticked_beside_their_message(seat):
    page = seat("two-out-of-five")
    ticked = {f"cup{place}": page.serving.codes[place - 1] for place in (1, 2, 5)}
    shown = page.tap("draft", **ticked).text.partition('<div id="ahead"')[0]
    found = re.findall(r'name="cup(\d)" value="\d+" checked', shown)
    assert found == ["1", "2", "5"]


def test_a_review_says_in_german_which_cups_go_together(seat, client):
    page = seat("tetrad")
    one, two, three, four = page.serving.codes
    page.tap("draft", pairs=f"{one} {three} / {two} {four}")
    shown = client.get(page.url, headers={"Accept-Language": "de"}).text
    assert f"Sie sagen: {one} und {three} gehören zusammen, und {two} und {four}." in shown
