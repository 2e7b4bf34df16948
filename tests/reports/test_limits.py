from server.blinding.events import Kind


def test_what_was_not_ticked_off_in_the_room_is_one_limit(make_story):
    story = make_story(begun=False)
    for item in ("silent", "roaster_off"):
        story.tell(Kind.CHECKED, item=item, done=True)
    finding = story.begin().brew().taste(11).close().unseal().conclude()
    said = "Not ticked off in the room: pouring out of sight and no smell in the room."
    assert said in finding.limits


def test_a_tick_that_was_taken_back_is_no_tick(make_story):
    story = make_story().tell(Kind.CHECKED, item="silent", done=True)
    story.tell(Kind.CHECKED, item="silent", done=False).taste(11).close().unseal()
    assert "silent" in story.analyse().unchecked


def test_with_everything_ticked_off_nothing_is_said(make_story):
    story = make_story()
    for item in ("silent", "out_of_sight", "roaster_off", "no_smell"):
        story.tell(Kind.CHECKED, item=item, done=True)
    finding = story.brew().taste(11).close().unseal().conclude()
    assert not [one for one in finding.limits if one.startswith("Not ticked")]
