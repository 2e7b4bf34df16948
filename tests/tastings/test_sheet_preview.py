"""How what a sheet asks looks at a seat: made-up codes, real questions."""

from server.tastings.sheet_preview import CODES, preview_attribute, preview_own_word, preview_sheet
from tests.scored_seats import EVERY_KIND, FAULT, SWEET


def test_every_attribute_is_asked_of_made_up_codes_in_its_first_pass():
    found = preview_sheet(EVERY_KIND)
    assert list(found) == [one.name for one in EVERY_KIND.attributes]
    assert [cell.code for cell in found["sweet"].cells] == list(CODES)
    assert {one.place.time for cell in found["sweet"].cells for one in cell.asked} == {"hot"}


def test_cups_are_shown_bowl_by_bowl_and_samples_as_one():
    bowls = {one.place.bowl for cell in preview_attribute(FAULT).cells for one in cell.asked}
    assert bowls == {1, 2}
    assert {one.place.bowl for one in preview_attribute(SWEET).cells[0].asked} == {0}


def test_an_order_is_asked_of_all_codes_at_once():
    question = preview_sheet(EVERY_KIND)["order"]
    assert ([one.code for one in question.cells], question.codes) == ([""], CODES)


def test_a_word_of_ones_own_is_asked_on_a_line_of_every_code():
    question = preview_own_word(EVERY_KIND)
    assert question.attribute.scale.kind == "line"
    assert [cell.code for cell in question.cells] == list(CODES)
