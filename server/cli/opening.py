"""Open the database for a command; what is wrong with it becomes one line."""

from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from server.settings import Settings
    from server.tastings.bench import Bench

data_dir_option = click.option(
    "--data-dir",
    metavar="DIR",
    help="Folder of the database; your own data folder if left out.",
)


def find_settings(data_dir: str | None, base_url: str | None = None) -> "Settings":
    """Read the settings; the folder of an embedded database is made if missing."""
    from server.settings import read_settings
    from server.storage.engine import CannotOpen

    try:
        return read_settings(data_dir, base_url)
    except CannotOpen as error:
        raise click.ClickException(str(error)) from None


@contextmanager
def open_bench(settings: "Settings") -> Iterator["Bench"]:
    """Open the database, bring it up to date, close it at the end."""
    from sqlalchemy.exc import ArgumentError, DBAPIError, NoSuchModuleError

    from server.storage.engine import CannotOpen, open_engine
    from server.storage.migrate import upgrade
    from server.tastings.bench import Bench

    try:
        engine = open_engine(settings.database_url)
        upgrade(engine)
    except DBAPIError as error:
        raise click.ClickException(f"cannot open the database: {error.orig}") from None
    except ModuleNotFoundError as error:
        hint = "PostgreSQL needs oddcup[postgres] installed"
        raise click.ClickException(f"cannot open the database: {error}; {hint}") from None
    except (ArgumentError, NoSuchModuleError) as error:
        raise click.ClickException(f"cannot open the database: {error}") from None
    except CannotOpen as error:
        raise click.ClickException(str(error)) from None
    try:
        yield Bench(engine)
    finally:
        engine.dispose()


@contextmanager
def telling_refusals() -> Iterator[None]:
    """Turn a use case's refusal into one line and exit code 1."""
    from server.tastings.refusals import Refusal

    try:
        yield
    except Refusal as refusal:
        raise click.ClickException(str(refusal)) from None
