"""Bring a database to the newest revision."""

from pathlib import Path

from sqlalchemy import Engine, inspect, text

from server.storage.engine import CannotOpen

MIGRATIONS = Path(__file__).parent / "migrations"
NEWEST = "0007"  # of migrations/versions; a test holds the two together


def upgrade(engine: Engine) -> None:
    """Run the missing Alembic revisions; several processes may call this at once.

    Raises
    ------
    CannotOpen
        The database is of a revision that this version does not know.
    """
    if _is_newest(engine):
        return  # Alembic takes 0.3 s to load
    from alembic import command
    from alembic.config import Config
    from alembic.util import CommandError

    config = Config()
    config.set_main_option("script_location", str(MIGRATIONS))
    with engine.execution_options(oddcup_write=True).begin() as connection:
        if connection.dialect.name == "postgresql":
            connection.execute(text("SELECT pg_advisory_xact_lock(6312117)"))
        config.attributes["connection"] = connection
        try:
            command.upgrade(config, "head")
        except CommandError as error:
            raise CannotOpen(f"cannot open the database: {error}") from error


def _is_newest(engine: Engine) -> bool:
    with engine.connect() as connection:
        if not inspect(connection).has_table("alembic_version"):
            return False
        found = connection.execute(text("SELECT version_num FROM alembic_version"))
        return list(found.scalars()) == [NEWEST]
