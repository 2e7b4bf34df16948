from server.reports.numbers import list_numbers


def tell(story):
    return {line.name: line.value for line in list_numbers(story.analyse())}


def test_what_was_chosen_stands_among_the_numbers(make_story):
    story = make_story(relief="days", days=2).taste(11).close("").unseal()
    assert tell(story)["relief"] == "rounds spread over 2 days"


def test_where_nothing_was_chosen_nothing_is_said(make_story):
    assert "relief" not in tell(make_story().taste(11).close("").unseal())
