"""A tasting handed out as a document: without the key until unsealing, or on record."""

from uuid import uuid4

import pytest

from server.blinding.events import Kind
from server.blinding.portable import read_document, verify_document
from server.blinding.seal import canonical, read_sealed, seal_hash
from server.tastings import closing
from server.tastings.bench import Bench
from server.tastings.concluding import Spoilt
from server.tastings.exporting import (
    Exported,
    KeyLook,
    export_tasting,
    get_tasting_id,
    safe_name,
)
from server.tastings.journal import AT_THE_TABLE, open_journal
from server.tastings.refusals import Invalid, NotFound, Refusal, WrongState
from tests.playing import Play

LOOK = KeyLook("away", "two trays fell")


def _export(play: Play, look: KeyLook | None = None) -> Exported:
    return export_tasting(play.bench, play.made.id, look)


def _looks(play: Play) -> list[Kind]:
    return [look.kind for look in play.record.looks]


def test_before_unsealing_nothing_of_the_key_leaves(play: Play) -> None:
    play.fill(9)
    exported = _export(play)
    document = read_document(exported.document)
    assert (document.sealed, exported.sealed_text) == (None, None)
    assert play.made.sealed.salt.encode() not in exported.document


def test_a_closed_tasting_keeps_its_key_until_it_is_unsealed(play: Play) -> None:
    play.close()
    assert _export(play).sealed_text is None


def test_an_abandoned_tasting_keeps_its_key_until_it_is_unsealed(play: Play) -> None:
    closing.abandon_tasting(play.bench, play.made.id, "the grinder broke")
    assert _export(play).sealed_text is None
    closing.unseal_tasting(play.bench, play.made.id)
    assert _export(play).sealed_text == canonical(play.made.sealed)


def test_before_unsealing_a_document_carries_the_whole_layout(play: Play) -> None:
    document = read_document(_export(play).document)
    layout = play.made.sealed.model_dump(exclude={"salt", "key"})
    assert document.layout is not None
    assert document.layout.model_dump() == layout


def test_an_export_without_the_key_is_no_event(play: Play) -> None:
    play.answer(1)
    before = play.record.version
    _export(play)
    assert play.record.version == before


def test_after_unsealing_the_file_of_the_sealed_text_has_the_seal(play: Play) -> None:
    play.unseal()
    text = _export(play).sealed_text
    assert text is not None
    assert seal_hash(text) == play.made.seal


def test_an_unsealed_export_is_no_event_and_holds(play: Play) -> None:
    play.fill(9)
    play.unseal()
    before = play.record.version
    assert verify_document(_export(play, LOOK).document) == []
    assert play.record.version == before


def test_taking_the_key_along_is_a_look_at_key_and_results_while_people_taste(play: Play) -> None:
    play.answer(1)
    document = read_document(_export(play, LOOK).document)
    assert [event.kind for event in document.events[-2:]] == [Kind.KEY_LOOKED, Kind.RESULTS_LOOKED]
    assert _looks(play) == [Kind.KEY_LOOKED, Kind.RESULTS_LOOKED]


def test_taking_the_key_along_after_closing_is_a_look_at_the_key_alone(play: Play) -> None:
    play.close()
    assert _export(play, LOOK).sealed_text == canonical(play.made.sealed)
    assert _looks(play) == [Kind.KEY_LOOKED]


def test_answers_that_follow_a_key_look_are_a_results_look_too(play: Play) -> None:
    closing.look_at_key(play.bench, play.made.id, "away", "the trays fell")
    assert _export(play).sealed_text is None
    assert _looks(play) == [Kind.KEY_LOOKED, Kind.RESULTS_LOOKED]


def test_an_export_with_the_key_holds(play: Play) -> None:
    assert verify_document(_export(play, LOOK).document) == []


def _spoil(play: Play, text: bytes) -> None:
    """Change the sealed text behind the back of its triggers."""
    with play.bench.engine.begin() as connection:
        connection.exec_driver_sql("DROP TRIGGER seal_sealed_update")
        connection.exec_driver_sql("UPDATE seal SET text = ?", (text,))


def test_a_changed_sealed_text_leaves_as_it_is_and_does_not_hold(play: Play) -> None:
    _spoil(play, canonical(play.made.sealed).replace(b"green", b"black"))
    play.unseal()
    problems = verify_document(_export(play).document)
    assert "The sealed text does not match the seal." in problems


def test_a_sealed_text_that_is_no_text_any_more_cannot_leave(play: Play) -> None:
    _spoil(play, b"\xff\xfe")
    play.unseal()
    with pytest.raises(Spoilt):
        _export(play)


@pytest.mark.parametrize("look", [KeyLook("away", "  "), KeyLook("upstairs", "curious")])
def test_an_early_look_without_who_or_why_is_refused_and_leaves_nothing(
    play: Play, look: KeyLook
) -> None:
    with pytest.raises(Invalid):
        _export(play, look)
    assert play.record.version == 0


def test_a_tasting_given_up_lends_its_key_by_unsealing_only(play: Play) -> None:
    closing.abandon_tasting(play.bench, play.made.id, "the grinder broke")
    with pytest.raises(WrongState):
        _export(play, LOOK)


def test_a_draft_has_nothing_to_export(bench: Bench, draft: object) -> None:
    with pytest.raises(WrongState):
        export_tasting(bench, draft)  # type: ignore[arg-type] # the fixture's UUID


def test_an_unknown_tasting_is_not_found(bench: Bench) -> None:
    with pytest.raises(NotFound):
        export_tasting(bench, uuid4())


def test_no_link_is_in_an_export(play: Play) -> None:
    play.fill(9)
    play.unseal()
    secrets = [*play.made.tokens.values(), play.made.pourer]
    assert not [one for one in secrets if one.encode() in _export(play).document]


def test_a_tasting_is_named_by_its_id_or_by_its_short_code(play: Play) -> None:
    given = [str(play.made.id), play.made.code, f" {play.made.code.lower()} "]
    assert {get_tasting_id(play.bench, one) for one in given} == {play.made.id}


@pytest.mark.parametrize("given", ["NOCODE", "5f0c1a52-3b7e-4c0d-9a51-0d8c2f6e7b11", ""])
def test_what_names_no_tasting_is_not_found(bench: Bench, given: str) -> None:
    with pytest.raises(NotFound):
        get_tasting_id(bench, given)


@pytest.mark.parametrize(
    ("name", "file"),
    [
        ("Tasting K4M9QX", "Tasting-K4M9QX"),
        ("../../etc/passwd", "etc-passwd"),
        ("Grüner Tee: 2. Runde", "Gr-ner-Tee-2-Runde"),
        ("…", "tasting"),
        ("x" * 200, "x" * 80),
    ],
)
def test_a_file_name_holds_nothing_but_letters_digits_and_hyphens(name: str, file: str) -> None:
    assert safe_name(name) == file


def test_a_tasting_alone_leaves_without_a_key_and_with_the_hash_of_its_photo_only(bench, alone):
    alone.taste(1)
    with open_journal(bench, alone.made.id, AT_THE_TABLE) as journal:
        journal.append(Kind.REVEALED, sitting=1, marks={}, photo="ab" * 32)
    exported = export_tasting(bench, alone.made.id)
    assert verify_document(exported.document) == []
    assert b"ab" * 32 in exported.document
    assert alone.record.looks == []


def test_alone_there_is_no_key_to_take_along(bench, alone):
    look = KeyLook("away", "the trays fell")
    with pytest.raises(Refusal, match="truth lies under the cups"):
        export_tasting(bench, alone.made.id, look)


def test_what_was_sealed_alone_leaves_verbatim_without_a_key(bench, alone):
    for sitting in (1, 2):
        alone.sit(sitting, right=2)
    alone.close()
    alone.unseal()
    document = export_tasting(bench, alone.made.id).document
    sealed = read_sealed(read_document(document).sealed_text)
    assert sealed == alone.made.sealed
    assert sealed.key == {}
