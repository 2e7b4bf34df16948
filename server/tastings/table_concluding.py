"""The finding of an unsealed scored table: worked out once a version, kept in the database."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import get_args
from uuid import UUID

from server.blinding.record import Record
from server.reports.scored import analyse_table
from server.reports.table_figures.themes import ThemeName
from server.reports.table_means import TableMeans, read_means, write_means
from server.reports.table_page import TablePage, draw_part, read_page, write_parts
from server.reports.table_rows import write_rows
from server.storage import queries
from server.storage.finding_cache import find_part, find_parts, keep_parts
from server.tastings.bench import Bench
from server.tastings.concluding import StillSealed, read_unsealed
from server.tastings.program import identify_program
from server.tastings.refusals import NotFound
from server.tastings.sealed_text import get_sealed_text

THEMES: tuple[ThemeName, ...] = get_args(ThemeName)


@dataclass(frozen=True)
class Unsealed:
    """An unsealed scored table, at one version of its record."""

    bench: Bench
    tasting_id: UUID
    version: int


def find_unsealed(bench: Bench, tasting_id: UUID, record: Record) -> Unsealed:
    """Return an unsealed scored table.

    Raises
    ------
    StillSealed
        Before unsealing.
    """
    if record.seal_matches is None:
        raise StillSealed("The tasting is still sealed: close and unseal it first.")
    return Unsealed(bench, tasting_id, record.version)


def get_page(one: Unsealed) -> TablePage:
    """Return all that is shown of a table."""
    return read_page(get_part(one, "page"))


def read_tables(
    bench: Bench, versions: Mapping[UUID, int]
) -> dict[UUID, tuple[TablePage, TableMeans]]:
    """Return what is shown of several unsealed tables, each at a version, and their means."""
    program = identify_program()
    with bench.reading() as db:
        pages = find_parts(db, versions, program, "page")
        means = find_parts(db, versions, program, "means")
    for id_, version in versions.items():
        if id_ not in pages or id_ not in means:
            parts = _work_out(Unsealed(bench, id_, version))
            _keep(Unsealed(bench, id_, version), parts)
            pages[id_], means[id_] = parts["page"], parts["means"]
    return {id_: (read_page(pages[id_]), read_means(means[id_])) for id_ in versions}


def get_figure(one: Unsealed, name: str, theme: str) -> bytes:
    """Return a figure in a theme.

    Raises
    ------
    NotFound
        No such figure, or no such theme.
    """
    chosen = next((known for known in THEMES if known == theme), None)
    if chosen is None:
        raise NotFound("There is no such figure.")
    kind = f"svg/{name}/{chosen}"
    drawn = _find(one, kind)
    if drawn is None:
        drawn = draw_part(get_part(one, f"figure/{name}"), chosen)
        _keep(one, {kind: drawn})
    return drawn


def get_part(one: Unsealed, kind: str) -> bytes:
    """Return a part, worked out now if this version has none yet.

    Raises
    ------
    NotFound
        The table has no such part.
    """
    part = _find(one, kind)
    if part is None and (kind == "page" or _find(one, "page") is None):
        parts = _work_out(one)
        _keep(one, parts)
        part = parts.get(kind)
    if part is None:
        raise NotFound("There is no such figure.")
    return part


def _find(one: Unsealed, kind: str) -> bytes | None:
    with one.bench.reading() as db:
        return find_part(db, one.tasting_id, one.version, identify_program(), kind)


def _work_out(one: Unsealed) -> dict[str, bytes]:
    with one.bench.reading() as db:
        text = get_sealed_text(db, one.tasting_id)
        events = queries.load_events(db, one.tasting_id)
    known = [event for event in events if event.seq <= one.version]
    analysis = analyse_table(read_unsealed(text), known)
    own = {"rows": write_rows(analysis), "means": write_means(analysis)}
    return write_parts(analysis) | own


def _keep(one: Unsealed, parts: dict[str, bytes]) -> None:
    with one.bench.writing() as db:
        keep_parts(db, one.tasting_id, one.version, identify_program(), parts)
