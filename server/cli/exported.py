"""Exported tastings as files: checked, and with their key."""

from pathlib import Path
from typing import TYPE_CHECKING

import click

from server.cli.files import read_file

if TYPE_CHECKING:
    from collections.abc import Sequence

    from server.blinding.events import Event
    from server.blinding.sealed import SealedTasting


def read_exported(file: Path) -> "tuple[SealedTasting, Sequence[Event]]":
    """Return sealed text and events of an exported file that holds and has its key."""
    from server.blinding.portable import read_document, verify_document
    from server.blinding.seal import read_sealed

    text = read_file(file)
    problems = verify_document(text)
    if problems:
        raise click.ClickException(f"{file} does not hold: {problems[0]}")
    document = read_document(text)
    if document.sealed_text is None:
        raise click.UsageError(f"{file} has no key: export it again after unsealing")
    return read_sealed(document.sealed_text), document.events
