"""``oddcup verify`` and ``oddcup analyse tasting``: files alone, no database, no network."""

import json
from pathlib import Path
from typing import TYPE_CHECKING

import click

from server.cli.exported import read_exported
from server.cli.files import SEALED, read_file, readable_file

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from server.blinding.events import Event
    from server.blinding.portable import Document
    from server.blinding.sealed import SealedTasting

DOES_NOT_HOLD = 1


@click.command("verify", short_help="Check the seal and the chain of an exported tasting.")
@click.argument("file", type=readable_file)
@click.option("--seal", metavar="HASH", help="The published seal: all of it, or 16 digits or more.")
def verify(file: Path, seal: str | None) -> int:
    """Check the seal and the chain of an exported tasting, or a bare sealed text.

    Leaves with 0 when everything holds, with 1 and what does not match otherwise.
    """
    text = read_file(file)
    check = _check_sealed_text if _is_sealed_text(file, text) else _check_document
    problems, lines = check(text, seal)
    click.echo("\n".join(problems or lines))
    return DOES_NOT_HOLD if problems else 0


ALL_SEALED = "Plan, layout and key have this seal."
KEY_CAME_LATER = (
    "Plan and layout have this seal; the key came later, from the marks under the cups."
)


def _is_sealed_text(file: Path, text: bytes) -> bool:
    if file.name.endswith(SEALED):
        return True
    try:
        members = json.loads(text)
    except (ValueError, RecursionError):
        return False
    return isinstance(members, dict) and "salt" in members and "format" not in members


def _check_sealed_text(text: bytes, seal: str | None) -> tuple[list[str], list[str]]:
    from server.blinding.portable import verify_sealed_text
    from server.blinding.seal import seal_hash

    digest = seal_hash(text)
    lines = [f"Seal {digest}", "The sealed text is whole and well formed."]
    if seal is None:
        lines.append("Compare the seal with the one shown before the tasting, or give --seal.")
    else:
        lines.append("It has the seal that was given.")
    return verify_sealed_text(text, digest if seal is None else seal), lines


def _check_document(text: bytes, seal: str | None) -> tuple[list[str], list[str]]:
    from server.blinding.portable import read_document, verify_document

    problems = verify_document(text)
    if problems:
        return problems, []
    document = read_document(text)
    if seal is not None:
        problems = _compare_seal(document, seal)
    return problems, _tell_document(document)


def _compare_seal(document: "Document", seal: str) -> list[str]:
    digits = "".join(seal.split()).lower()
    if len(digits) < 16:
        raise click.UsageError(f"--seal takes 16 digits or more, got {len(digits)}")
    return [] if document.seal.startswith(digits) else ["The document has another seal."]


def _tell_document(document: "Document") -> list[str]:
    from server.blinding.portable import find_notes
    from server.blinding.seal import read_sealed

    lines = [document.name, f"Seal {document.seal}"]
    if document.sealed_text is not None:
        alone = read_sealed(document.sealed_text).plan.alone
        lines.append(KEY_CAME_LATER if alone else ALL_SEALED)
    count = len(document.events)
    lines += [f"{count} events follow it, each one chained to all before.", f"Head {document.head}"]
    return lines + find_notes(document)


@click.command("tasting")
@click.argument("file", type=readable_file)
@click.option("--json", "as_json", is_flag=True, help="One JSON object, unrounded.")
def tasting(file: Path, as_json: bool) -> None:
    """Say what the exported tasting in FILE can and cannot support."""
    sealed, events = read_exported(file)
    click.echo(_choose(sealed)(sealed, events, as_json), nl=as_json)


def _choose(sealed: "SealedTasting") -> "Callable[[SealedTasting, Sequence[Event], bool], str]":
    if sealed.plan.table is not None:
        return _tell_table
    return _tell_series if sealed.plan.series is not None else _tell_tasting


def _tell_series(sealed: "SealedTasting", events: "Sequence[Event]", as_json: bool) -> str:
    from server.reports.series.analysis import analyse_series
    from server.reports.series.exports import render_series, report_series
    from server.reports.series.findings import conclude_series

    analysis = analyse_series(sealed, events)
    if as_json:
        return json.dumps(report_series(analysis), allow_nan=False)
    return render_series(conclude_series(analysis))


def _tell_tasting(sealed: "SealedTasting", events: "Sequence[Event]", as_json: bool) -> str:
    from server.reports.analysis import analyse_tasting
    from server.reports.exports import render_text, report_tasting
    from server.reports.findings import conclude

    analysis = analyse_tasting(sealed, events)
    if as_json:
        return json.dumps(report_tasting(analysis), allow_nan=False)
    return render_text(conclude(analysis))


def _tell_table(sealed: "SealedTasting", events: "Sequence[Event]", as_json: bool) -> str:
    from server.reports.scored import analyse_table
    from server.reports.table_exports import render_table, report_table

    analysis = analyse_table(sealed, events)
    if as_json:
        return json.dumps(report_table(analysis), allow_nan=False)
    return render_table(analysis)
