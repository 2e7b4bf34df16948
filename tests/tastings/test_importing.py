"""A tasting taken in from its document: checked first, its links new."""

from collections.abc import Callable, Iterator
from random import Random
from typing import Any
from uuid import UUID

import pytest
from sqlmodel import col, select

from server.blinding.events import State
from server.blinding.portable import build_document, read_document
from server.blinding.seal import canonical, read_sealed, seal_hash
from server.storage import queries, tables
from server.storage.engine import open_engine
from server.tastings import accounts
from server.tastings.answering import Outcome, record_answer
from server.tastings.bench import Bench
from server.tastings.closing import abandon_tasting, unseal_tasting
from server.tastings.exporting import KeyLook, export_tasting
from server.tastings.importing import AlreadyHere, Unusable, get_leader_id, import_tasting
from server.tastings.pouring import note_brew, void_serving
from tests.playing import Play


@pytest.fixture
def elsewhere(database_url: str) -> Iterator[Bench]:
    """A bench in another house, with a database of either kind."""
    engine = open_engine(database_url)
    yield Bench(engine, Random(99))
    engine.dispose()


@pytest.fixture
def lively(play: Play) -> Play:
    """An unsealed tasting with a contest, a void and its spare, readings, a late answer."""
    play.contest(seat=2)
    served = play.made.servings(3)[0]
    bar = play.bar
    note_brew(play.bench, play.made.id, [1], {"slot": "A1", "tds": "1.31 1.32"})
    void_serving(play.bench, bar, served.id, "spilt")
    for seat in range(1, 7):
        while play.place(seat).current is not None:
            play.answer(seat)
    play.unseal()
    late = play.made.servings(4)[0]
    play.send(4, late, {"pick": play.pick(late, right=False)})
    return play


def _carry(play: Play, bench: Bench, look: KeyLook | None = None) -> tuple[UUID, bytes]:
    document = export_tasting(play.bench, play.made.id, look).document
    return import_tasting(bench, get_leader_id(bench), document), document


def test_what_is_imported_is_exported_again_byte_for_byte(lively: Play, elsewhere: Bench) -> None:
    tasting_id, document = _carry(lively, elsewhere)
    assert export_tasting(elsewhere, tasting_id).document == document


def test_the_record_is_the_same_in_the_other_house(lively: Play, elsewhere: Bench) -> None:
    tasting_id, _ = _carry(lively, elsewhere)
    with elsewhere.reading() as db:
        assert queries.load_record(db, tasting_id) == lively.record


def test_an_abandoned_tasting_stays_abandoned(play: Play, elsewhere: Bench) -> None:
    abandon_tasting(play.bench, play.made.id, "the grinder broke")
    unseal_tasting(play.bench, play.made.id)
    tasting_id, _ = _carry(play, elsewhere)
    with elsewhere.reading() as db:
        tasting = queries.find_tasting(db, tasting_id)
    assert tasting is not None
    assert tasting.state == State.ABANDONED


def test_links_and_codes_are_new(play: Play, elsewhere: Bench) -> None:
    play.unseal()
    tasting_id, _ = _carry(play, elsewhere)
    with elsewhere.reading() as db:
        row = db.get_one(tables.Tasting, tasting_id)
        tokens = {seat.token for seat in queries.list_seats(db, tasting_id)}
        links = {link.token for link in queries.list_pourer_links(db, tasting_id)}
    assert not (tokens | links) & {*play.made.tokens.values(), play.made.pourer}
    assert (len(tokens), len(links), row.join_code != play.made.code) == (7, 1, True)


def test_a_tasting_moved_while_people_taste_goes_on_there(play: Play, elsewhere: Bench) -> None:
    play.answer(1)
    tasting_id, _ = _carry(play, elsewhere, KeyLook("away", "the tablet's battery fails"))
    first, second, _ = play.made.servings(1)
    with elsewhere.reading() as db:
        token = next(s.token for s in queries.list_seats(db, tasting_id) if s.number == 1)

    def say(serving: Any, *, right: bool) -> Outcome:
        form = {"pick": play.pick(serving, right=right)}
        return record_answer(elsewhere, token, serving.id, form, f"tap {serving.id} {right}")

    outcomes = [say(first, right=True), say(first, right=False), say(second, right=True)]
    assert outcomes == [Outcome.REPEATED, Outcome.CONTESTED, Outcome.ACCEPTED]


def test_the_importing_account_leads_the_tasting(play: Play, elsewhere: Bench) -> None:
    play.unseal()
    tasting_id, _ = _carry(play, elsewhere)
    with elsewhere.reading() as db:
        assert queries.find_led_tasting(db, get_leader_id(elsewhere), tasting_id) is not None


def test_a_tasting_is_taken_in_once(play: Play) -> None:
    play.unseal()
    with pytest.raises(AlreadyHere):
        _carry(play, play.bench)


def test_a_document_without_the_key_is_refused(play: Play, elsewhere: Bench) -> None:
    with pytest.raises(Unusable, match="no key"):
        _carry(play, elsewhere)


@pytest.fixture
def document(play: Play) -> bytes:
    """The document of an unsealed tasting."""
    play.unseal()
    return export_tasting(play.bench, play.made.id).document


@pytest.fixture
def refuse(bench: Bench) -> Callable[[bytes], str]:
    """Try to take a document in; return why it is refused, having stored nothing."""

    def refuse(text: bytes) -> str:
        leader, before = get_leader_id(bench), _count(bench)
        with pytest.raises(Unusable) as refused:
            import_tasting(bench, leader, text)
        assert _count(bench) == before
        return str(refused.value)

    return refuse


def _count(bench: Bench) -> int:
    with bench.reading() as db:
        return len(db.exec(select(tables.Cup.id)).all())


def test_a_changed_document_is_refused(refuse: Callable[[bytes], str], document: bytes) -> None:
    assert "does not hold" in refuse(document.replace(b"absent", b"relay!", 1))


@pytest.mark.parametrize("text", [b"", b"{}", b"[]", b"\xff", b"null", b"[" * 100_000])
def test_what_is_no_document_is_refused(refuse: Callable[[bytes], str], text: bytes) -> None:
    assert "not a tasting document" in refuse(text)


@pytest.mark.parametrize("name", ["", "x" * 301])
def test_a_name_must_fit_on_a_screen(
    refuse: Callable[[bytes], str], document: bytes, name: str
) -> None:
    one = read_document(document)
    assert "name" in refuse(build_document(name, one.seal, one.sealed_text, None, one.events))


def test_cups_of_another_tasting_are_not_taken_over(
    refuse: Callable[[bytes], str], document: bytes
) -> None:
    """A second seal over the same cups: everything in it holds, yet they are here already."""
    one = read_document(document)
    sealed = read_sealed(one.sealed_text or b"").model_copy(update={"tasting": UUID(int=5)})
    text = canonical(sealed)
    assert "does not fit" in refuse(build_document("Tasting", seal_hash(text), text, None, []))


def test_the_leader_is_made_once_without_a_password(elsewhere: Bench) -> None:
    assert get_leader_id(elsewhere) == get_leader_id(elsewhere)
    assert not accounts.has_password(elsewhere)
    with elsewhere.reading() as db:
        statement = select(tables.Account).where(col(tables.Account.name) == "leader")
        assert len(db.exec(statement).all()) == 1
