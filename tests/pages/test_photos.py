"""Pictures of turned cups reach their leader alone, are kept nowhere, and may be erased."""

from hashlib import sha256

import pytest

from server.blinding.events import Kind
from server.tastings.journal import AT_THE_TABLE, open_journal
from server.tastings.photos import keep_photo

PICTURE = b"what a camera saw"
DIGEST = sha256(PICTURE).hexdigest()


@pytest.fixture
def home(bench, alone):
    """A sitting is turned, and a picture of it kept."""
    alone.taste(1)
    marks = {
        str(one.id): {
            str(cup.id): slot for cup, slot in zip(one.cups, alone.under[one.id], strict=True)
        }
        for one in alone.servings(1)
    }
    with open_journal(bench, alone.made.id, AT_THE_TABLE) as journal:
        digest = keep_photo(journal.db, alone.made.id, PICTURE)
        journal.append(Kind.REVEALED, sitting=1, marks=marks, photo=digest)
    return f"/tastings/{alone.made.id}"


def test_the_key_page_and_the_finding_show_the_picture(leader, home, alone):
    picture = f'src="{home}/photos/{DIGEST}.jpg"'
    assert picture in leader.get(f"{home}/key").text
    alone.close("the kettle broke")
    alone.unseal()
    assert picture in leader.get(f"{home}/finding").text


def test_a_picture_is_kept_nowhere_on_its_way(leader, home):
    answer = leader.get(f"{home}/photos/{DIGEST}.jpg")
    assert (answer.content, answer.headers["content-type"]) == (PICTURE, "image/jpeg")
    assert answer.headers["cache-control"] == "private, no-store"


@pytest.mark.parametrize("name", ["0" * 64, "x", "..%2f"])
def test_a_picture_that_is_not_there_is_not_found(leader, home, name):
    assert leader.get(f"{home}/photos/{name}.jpg").status_code == 404


def test_nobody_but_the_leader_sees_or_erases_it(stranger, client, home):
    url = f"{home}/photos/{DIGEST}"
    assert stranger.get(f"{url}.jpg").status_code == 404
    assert stranger.post(f"{url}/delete").status_code == 404
    assert client.get(f"{url}.jpg").headers["location"].startswith("/sign-in")


def test_an_erased_picture_leaves_its_hash_and_a_second_tap_changes_nothing(leader, home, alone):
    for _ in "12":
        assert leader.post(f"{home}/photos/{DIGEST}/delete").status_code == 303
    page = leader.get(f"{home}/key").text
    assert "the picture was erased" in page
    assert DIGEST in page
    assert leader.get(f"{home}/photos/{DIGEST}.jpg").status_code == 404
    assert alone.record.reveals[1][0].photo == DIGEST


def test_a_panel_has_no_pictures(leader, play):
    assert "<figure" not in leader.get(f"/tastings/{play.made.id}/key").text
