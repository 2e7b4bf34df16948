"""Bring a database to the newest revision."""

from pathlib import Path

from sqlalchemy import Engine, text

MIGRATIONS = Path(__file__).parent / "migrations"


def upgrade(engine: Engine) -> None:
    """Run the missing Alembic revisions; several processes may call this at once."""
    from alembic import command  # 0.2 s: loaded when used
    from alembic.config import Config

    config = Config()
    config.set_main_option("script_location", str(MIGRATIONS))
    with engine.execution_options(oddcup_write=True).begin() as connection:
        if connection.dialect.name == "postgresql":
            connection.execute(text("SELECT pg_advisory_xact_lock(6312117)"))
        config.attributes["connection"] = connection
        command.upgrade(config, "head")
