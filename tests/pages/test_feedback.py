"""What a seat reads of itself, once its table is unsealed."""

from typing import Any
from uuid import UUID

import pytest

from server.blinding.portable import build_document, read_document
from server.pages.assets import SAMPLE_SESSIONS
from server.storage import queries
from server.tastings.importing import import_tasting

FILE = SAMPLE_SESSIONS / "lantern-row-upside-down.json"


def find_token(bench: Any, tasting: UUID, seat: int) -> str:
    """Return the link of a seat."""
    with bench.reading() as db:
        return next(one.token for one in queries.list_seats(db, tasting) if one.number == seat)


@pytest.fixture
def unsealed(bench: Any, account: Any) -> UUID:
    """A table at which seat 4 used the lines the other way round."""
    return import_tasting(bench, account.id, FILE.read_bytes())


def test_a_seat_reads_its_own_scores_against_the_others(
    bench: Any, client: Any, unsealed: UUID
) -> None:
    page = client.get(f"/seat/{find_token(bench, unsealed, 4)}/feedback").text
    assert "You scored “hill lot” above “river lot”, where most scored it below." in page
    assert "seat 5" not in page
    other = client.get(f"/seat/{find_token(bench, unsealed, 5)}/feedback").text
    assert "You scored “hill lot” above “river lot”" not in other


def test_a_seat_whose_sheet_does_not_count_has_nothing_to_compare(
    bench: Any, client: Any, unsealed: UUID
) -> None:
    page = client.get(f"/seat/{find_token(bench, unsealed, 8)}/feedback")
    assert "nothing to compare" in page.text


def test_it_speaks_the_language_of_its_reader(bench: Any, client: Any, unsealed: UUID) -> None:
    url = f"/seat/{find_token(bench, unsealed, 4)}/feedback"
    assert "Ihre eigenen Werte" in client.get(url, headers={"Accept-Language": "de"}).text


def test_the_seat_leads_there(bench: Any, client: Any, unsealed: UUID) -> None:
    token = find_token(bench, unsealed, 4)
    assert f'href="/seat/{token}/feedback"' in client.get(f"/seat/{token}").text


def test_there_is_none_before_unsealing(bench: Any, account: Any, client: Any) -> None:
    document = read_document(FILE.read_bytes())
    closed = build_document(
        "Table", document.seal, document.sealed_text, None, document.events[:-1]
    )
    tasting = import_tasting(bench, account.id, closed)
    url = f"/seat/{find_token(bench, tasting, 4)}"
    assert client.get(f"{url}/feedback").status_code == 404
    assert "/feedback" not in client.get(url).text


def test_there_is_none_where_nothing_was_scored(client: Any, sealed_tasting: Any) -> None:
    assert client.get(f"/seat/{sealed_tasting.tokens[1]}/feedback").status_code == 404


def test_an_unknown_link_opens_nothing(client: Any) -> None:
    assert client.get("/seat/nobody/feedback").status_code == 404
