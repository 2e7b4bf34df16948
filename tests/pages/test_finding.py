import hashlib
import json
import xml.etree.ElementTree as ET

import pytest

from server.tastings.closing import abandon_tasting, look_at_key, unseal_tasting
from tests.playing import Play

FILES = ["/finding", "/sealed.json", "/export.json", "/figures/guessing.svg", "/figures/share.svg"]


@pytest.fixture
def play(bench, make_tasting):
    """A small tasting: three people, one round."""
    return Play(bench, make_tasting(assessors="3", rounds="1"))


@pytest.fixture
def found(play):
    """The small tasting played to its end: two of three right."""
    play.fill(right=2)
    play.unseal()
    return play


@pytest.mark.parametrize("path", FILES)
def test_nothing_that_depends_on_the_key_leaves_before_unsealing(leader, home, play, path):
    play.answer(1)
    for ahead in (lambda: None, play.close):
        ahead()
        answer = leader.get(f"{home}{path}")
        assert answer.status_code == 403
        assert "The tasting is still sealed" in answer.text


@pytest.mark.parametrize("path", FILES)
def test_an_early_look_at_the_key_opens_no_finding(leader, bench, home, play, path):
    look_at_key(bench, play.made.id, "away", "a guest is ill")
    assert leader.get(f"{home}{path}").status_code == 403


def test_a_finding_says_what_was_found_and_what_may_not_be_said(leader, bench, sealed_tasting):
    played = Play(bench, sealed_tasting)
    played.fill(right=10)
    played.unseal()
    page = leader.get(f"/tastings/{sealed_tasting.id}/finding").text
    assert "10 of 18" in page
    assert "What may not be said" in page
    for word in ("prove", "complies", "no difference"):
        assert word not in page.lower()


@pytest.mark.usefixtures("found")
def test_a_finding_shows_seal_blinding_and_where_to_check(leader, home, play):
    page = leader.get(f"{home}/finding").text
    assert play.made.seal in page
    assert "3 of 4" in page
    assert "sha256sum" in page


@pytest.mark.usefixtures("found")
def test_the_sealed_file_hashes_to_the_seal(leader, home, play):
    answer = leader.get(f"{home}/sealed.json")
    assert hashlib.sha256(answer.content).hexdigest() == play.made.seal
    assert answer.headers["content-disposition"].endswith('.sealed.json"')


@pytest.mark.usefixtures("found")
def test_the_whole_tasting_is_one_file(leader, home):
    answer = leader.get(f"{home}/export.json")
    assert answer.headers["cache-control"] == "no-store"
    assert isinstance(json.loads(answer.content), dict)


@pytest.mark.usefixtures("found")
def test_no_word_of_a_link_stands_in_the_files(leader, home, play):
    files = leader.get(f"{home}/export.json").text + leader.get(f"{home}/sealed.json").text
    words = [*play.made.tokens.values(), play.made.pourer]
    assert not [word for word in words if word in files]


@pytest.mark.usefixtures("found")
@pytest.mark.parametrize("name", ["guessing", "share"])
def test_a_figure_is_a_picture(leader, home, name):
    answer = leader.get(f"{home}/figures/{name}.svg")
    assert answer.headers["content-type"] == "image/svg+xml"
    assert ET.fromstring(answer.content).tag.endswith("svg")


@pytest.mark.usefixtures("found")
@pytest.mark.parametrize("name", ["taste", "..", "guessing.svg"])
def test_a_figure_that_is_not_there_is_not_there(leader, home, name):
    assert leader.get(f"{home}/figures/{name}.svg").status_code == 404


def test_a_tasting_without_answers_has_a_finding_without_figures(leader, home, play):
    play.unseal()
    page = leader.get(f"{home}/finding")
    assert (page.status_code, "figures/" in page.text) == (200, False)
    assert leader.get(f"{home}/figures/share.svg").status_code == 404


def test_a_tasting_given_up_has_no_finding_but_a_record(leader, bench, home, play):
    play.answer(1)
    abandon_tasting(bench, play.made.id, "no water")
    unseal_tasting(bench, play.made.id)
    assert "Abandoned: there is no finding." in leader.get(f"{home}/finding").text
    assert leader.get(f"{home}/export.json").status_code == 200


def test_a_spoilt_text_is_a_friendly_page(leader, bench, home, play):
    with bench.writing() as db:
        db.connection().exec_driver_sql("DROP TRIGGER seal_sealed_update")
        db.connection().exec_driver_sql("UPDATE seal SET text = '{}'")
        db.commit()
    play.unseal()
    for path in ("/finding", "/key", "/figures/share.svg"):
        answer = leader.get(f"{home}{path}")
        assert (answer.status_code, "The seal does not hold" in answer.text) == (409, True)


def test_what_people_typed_is_no_markup(leader, bench, make_tasting):
    played = Play(bench, make_tasting(sample_a="<b>old</b>", question="<i>?</i>", assessors="1"))
    played.fill(right=3)
    played.unseal()
    page = leader.get(f"/tastings/{played.made.id}/finding").text
    assert "<b>old" not in page
    assert "<i>?" not in page


@pytest.mark.usefixtures("found")
def test_a_script_gets_the_finding_alone(leader, home):
    page = leader.get(f"{home}/finding", script=True).text.lstrip()
    assert page.startswith('<article id="finding"')


@pytest.mark.usefixtures("found")
def test_a_finding_tabulates_positions_brews_and_rounds(leader, home):
    page = leader.get(f"{home}/finding").text
    titles = ("Brews behind the answers", "Picks by position", "Answers by round")
    assert all(f"<h2>{title}</h2>" in page for title in titles)
