import re

import pytest

from server.tastings.pouring import note_brew


def test_a_sealed_table_shows_the_whole_seal_and_its_first_digits(leader, home, play):
    page = leader.get(home).text
    assert play.made.seal in page
    groups = [play.made.seal[at : at + 4] for at in range(0, 16, 4)]
    assert " ".join(groups) in page


def test_a_table_leads_to_everything_that_is_done_there(leader, home):
    page = leader.get(home).text
    for path in ("/links", "/brews", "/close", "/abandon", "/void", "/key"):
        assert f'"{home}{path}"' in page


def test_a_closed_table_is_unsealed_next(leader, home, play):
    play.close()
    page = leader.get(home).text
    assert f'action="{home}/unseal"' in page
    assert f'action="{home}/close"' not in page
    assert play.record.head in page


def test_an_unsealed_table_leads_to_the_finding(leader, home, play):
    play.unseal()
    page = leader.get(home).text
    assert "✔ The seal holds." in page
    assert f'href="{home}/finding"' in page


def test_a_broken_seal_is_shown_as_broken(leader, bench, home, play):
    with bench.writing() as db:
        db.connection().exec_driver_sql("DROP TRIGGER seal_sealed_update")
        db.connection().exec_driver_sql("UPDATE seal SET text = replace(text, '0.05', '0.10')")
        db.commit()
    play.unseal()
    page = leader.get(home).text
    assert "✘ The seal does not hold." in page
    assert "✔" not in page
    assert leader.get(f"{home}/finding").status_code == 200


def test_a_draft_shows_plan_and_consequences(leader, draft):
    page = leader.get(f"/tastings/{draft}").text
    assert "Seal this plan" in page
    assert re.search(r"<dd>50 % of servings noticed \(.*d′.* 2\.32\)</dd>", page)


def marks(page):
    return re.findall(r'class="mark mark-[a-z-]+">([^<]+)<', page)


def test_a_board_shows_who_has_answered_and_never_whether_rightly(leader, home, play):
    play.answer(1, right=True)
    play.answer(2, right=False)
    page = leader.get(f"{home}/progress").text
    assert marks(page).count("answered") == 2
    assert '<strong class="number">2</strong> of 18 answers' in page
    rows = re.findall(r"<tr>.*?</tr>", page, re.DOTALL)
    numberless = [re.sub(r"\d", "", row) for row in rows[1:3]]
    assert numberless[0] == numberless[1]


def test_a_board_shows_the_answers_of_a_contest_to_choose_from(leader, home, play):
    serving = play.contest(1)
    page = leader.get(home).text
    assert f'action="{home}/contests/{serving}"' in page
    choices = re.findall(r'name="choice" value="(\w+)"', page)
    assert choices == ["1", "2", "void"]


def test_a_poll_without_news_is_quiet(leader, home, play):
    play.answer(1)
    version = play.record.version
    assert leader.get(f"{home}/progress?v={version}", script=True).status_code == 204
    news = leader.get(f"{home}/progress?v={version - 1}", script=True)
    assert (news.status_code, f"progress?v={version}" in news.text) == (200, True)
    assert news.text.lstrip().startswith('<section id="progress"')


def test_a_board_stops_asking_when_the_tasting_is_over(leader, home, play):
    play.close()
    assert "hx-get" not in leader.get(f"{home}/progress").text


def test_a_draft_has_no_board(leader, draft):
    assert leader.get(f"/tastings/{draft}/progress").status_code == 204


def test_a_script_gets_the_table_alone(leader, home):
    page = leader.get(home, script=True).text
    assert (page.startswith('<section id="table"'), "<html" in page) == (True, False)


def test_looking_changes_nothing(leader, home, play):
    for path in ("", "/progress", "/links", "/brews", "/key", "/plan"):
        leader.get(f"{home}{path}")
    assert play.record.version == 0


def test_brews_noted_are_counted(leader, bench, home, play):
    note_brew(bench, play.made.id, [1], {"slot": "A1", "tds": "1.3"})
    assert "1 of 12 brew slots noted" in leader.get(home).text


@pytest.mark.parametrize("path", ["", "/progress", "/links", "/brews"])
def test_a_page_asks_the_database_as_often_for_thirty_seats_as_for_three(
    leader, make_tasting, count_queries, path
):
    few, many = (
        make_tasting(assessors=number, rounds="1", spare_seats="0").id for number in ("3", "30")
    )
    for one in (few, many):  # whatever is asked once is asked here
        leader.get(f"/tastings/{one}{path}")
    counts = [
        count_queries(lambda one=one: leader.get(f"/tastings/{one}{path}")) for one in (few, many)
    ]
    assert counts[0] == counts[1] > 0
