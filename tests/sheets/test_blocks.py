from hypothesis import given

from server.sheets.blocks import list_blocks
from server.sheets.places import Item, list_places
from server.sheets.scales.tick_all import TickAll
from server.sheets.sheet import Sheet
from tests.sheets.building import CUPS, make_attribute, make_full_sheet, make_sheet
from tests.sheets.random_sheets import sheets, tables


def test_blocks_come_pass_by_pass_and_code_by_code_and_the_whole_table_last() -> None:
    found = list_blocks(make_full_sheet(), CUPS, "7")
    assert [(block.time, block.code, len(block.entries)) for block in found] == [
        ("dry", "385", 1), ("dry", "417", 1),
        ("break", "385", 1), ("break", "417", 1),
        ("hot", "385", 1), ("hot", "417", 1),
        ("cool", "385", 1), ("cool", "417", 1),
        ("", "385", 2), ("", "417", 2), ("", "", 1),
    ]  # fmt: skip


@given(sheets(), tables())
def test_every_place_of_a_table_is_in_one_block(sheet: Sheet, items: tuple[Item, ...]) -> None:
    blocks = list_blocks(sheet, items, "7")
    found = [entry.place for block in blocks for entry in block.entries]
    assert len(found) == len(set(found))
    assert set(found) == set(list_places(sheet, items))


def test_words_to_tick_come_in_the_order_of_the_seat_and_keep_their_numbers() -> None:
    words = ("papery", "woody", "earthy", "dusty")
    sheet = make_sheet(make_attribute("hints", TickAll(words=words)))
    seen = {list_blocks(sheet, CUPS, seed)[0].entries[0].words for seed in "1234567"}
    assert len(seen) > 1
    assert all(words[number] == word for order in seen for number, word in order)
