import pytest

from server.tastings.drafts import create_draft


def test_whoever_has_no_tasting_yet_is_shown_the_way(leader):
    page = leader.get("/").text
    assert "Nothing here yet." in page
    assert 'href="/tastings/new"' in page


def test_every_tasting_is_listed_with_its_state(leader, play, draft):
    page = leader.get("/").text
    assert f'href="/tastings/{play.made.id}"' in page
    assert f'href="/tastings/{draft}"' in page
    assert ">sealed<" in page
    assert ">draft<" in page


def test_the_newest_tasting_comes_first(leader, bench, account, clock, plan_input):
    for question in ("Is the older one first?", "Is the newer one first?"):
        create_draft(bench, account.id, plan_input(question=question))
        clock.advance(days=1)
    page = leader.get("/").text
    assert page.index("Is the newer one first?") < page.index("Is the older one first?")


@pytest.mark.usefixtures("play")
def test_nobody_sees_the_tastings_of_others(stranger):
    assert "Nothing here yet." in stranger.get("/").text


def test_words_of_a_question_are_no_markup(leader, bench, account, plan_input):
    create_draft(bench, account.id, plan_input(question="<script>alert(1)</script>"))
    assert "<script>alert" not in leader.get("/").text


def test_a_script_gets_the_list_alone(leader):
    assert leader.get("/", script=True).text.startswith('<section id="home"')
