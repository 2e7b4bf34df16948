import pytest


@pytest.mark.parametrize("url", ["/nowhere", "/static/nowhere.css", "/tastings", "/seat", "/pour"])
def test_a_page_that_is_not_there_says_so(client, url):
    answer = client.get(url)
    assert (answer.status_code, "Nothing here" in answer.text) == (404, True)


def test_a_script_gets_the_words_without_the_page(client):
    answer = client.get("/nowhere", script=True)
    assert (answer.status_code, "<html" in answer.text) == (404, False)
    assert answer.text.lstrip().startswith('<section id="error"')


def test_a_page_used_in_the_wrong_way_says_so(client):
    answer = client.get("/sign-out")
    assert (answer.status_code, "Not like this" in answer.text) == (405, True)


@pytest.mark.parametrize("version", ["x", "1.5", "9" * 5000])
def test_a_number_in_an_address_that_is_none_says_so(leader, home, version):
    answer = leader.get(f"{home}/progress?v={version}")
    assert (answer.status_code, "Not understood" in answer.text) == (422, True)


def test_a_refusal_says_why(leader, home):
    answer = leader.post(f"{home}/delete")
    assert answer.status_code == 409
    assert "The tasting is sealed: that cannot be done now." in answer.text


def test_words_in_an_error_are_no_markup(client):
    answer = client.get("/sign-in/<b>x</b>")
    assert (answer.status_code, "<b>" in answer.text) == (404, False)


def test_no_error_page_may_be_kept(client):
    assert client.get("/nowhere").headers["cache-control"] == "no-store"
