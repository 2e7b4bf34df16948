"""``oddcup export`` and ``oddcup import``: whole tastings as files."""

import os
from pathlib import Path
from typing import TYPE_CHECKING

import click

from server.cli.opening import data_dir_option, find_settings, open_bench, telling_refusals

if TYPE_CHECKING:
    from server.tastings.exporting import KeyLook

DOCUMENT, SEALED = ".oddcup.json", ".sealed.json"

readable_file = click.Path(exists=True, dir_okay=False, readable=True, path_type=Path)
writable_dir = click.Path(exists=True, file_okay=False, writable=True, path_type=Path)


@click.command("export", short_help="Write a tasting as a file that anybody can check.")
@click.argument("tasting")
@click.option("--with-key", is_flag=True, help="Before unsealing: take the key along, on record.")
@click.option(
    "--who",
    type=click.Choice(["taster", "present", "away"]),
    help="With the key: where whoever reads it is during the tasting.",
)
@click.option("--reason", help="With the key: why it is needed now.")
@click.option("--to", "folder", type=writable_dir, default=".", help="Folder to write to.")
@data_dir_option
def export_(
    tasting: str,
    with_key: bool,
    who: str | None,
    reason: str | None,
    folder: Path,
    data_dir: str | None,
) -> None:
    """Write TASTING (its id or short code) as a file that anybody can check.

    Before unsealing the key stays here, unless asked for: that is an early look,
    and the tasting's record says so for ever.
    """
    from server.tastings.exporting import export_tasting, get_tasting_id

    look = _read_look(with_key, who, reason)
    with open_bench(find_settings(data_dir)) as bench, telling_refusals():
        exported = export_tasting(bench, get_tasting_id(bench, tasting), look)
    written = [write_file(folder / f"{exported.name}{DOCUMENT}", exported.document)]
    if exported.sealed_text is not None:
        written.append(write_file(folder / f"{exported.name}{SEALED}", exported.sealed_text))
    click.echo("\n".join(str(path) for path in written))


def _read_look(with_key: bool, who: str | None, reason: str | None) -> "KeyLook | None":
    from server.tastings.exporting import KeyLook

    if not with_key:
        if who or reason:
            raise click.UsageError("--who and --reason belong to --with-key")
        return None
    if not who or not (reason or "").strip():
        raise click.UsageError("--with-key needs --who and --reason: the look goes on record")
    return KeyLook(who, reason or "")


@click.command("import", short_help="Take in a tasting from a file.")
@click.argument("file", type=readable_file)
@data_dir_option
def import_(file: Path, data_dir: str | None) -> None:
    """Take in the tasting in FILE after checking its seal and chain."""
    from server.tastings.importing import get_leader_id, import_tasting

    text = read_file(file)
    with open_bench(find_settings(data_dir)) as bench, telling_refusals():
        click.echo(import_tasting(bench, get_leader_id(bench), text))


def read_file(path: Path) -> bytes:
    """Return a file's bytes; what stands in the way is one line."""
    try:
        return path.read_bytes()
    except OSError as error:
        raise click.ClickException(f"cannot read {path}: {error.strerror}") from None


def write_file(path: Path, content: bytes) -> Path:
    """Write a file whole or not at all."""
    draft = path.with_name(f".{path.name}.{os.getpid()}")
    try:
        draft.write_bytes(content)
        draft.replace(path)
    except OSError as error:
        draft.unlink(missing_ok=True)
        raise click.ClickException(f"cannot write {path}: {error.strerror}") from None
    return path
