"""Settings: read once, from the environment and the command line, and passed in."""

import os
from dataclasses import dataclass
from pathlib import Path

import platformdirs

DEFAULT_PORT = 8520


@dataclass(frozen=True)
class Settings:
    """Where the data lie and under which address people reach the server."""

    database_url: str
    base_url: str | None = None


def find_data_dir(given: str | None = None) -> Path:
    """Return the folder of the embedded database."""
    chosen = given or os.environ.get("ODDCUP_DATA_DIR")
    return Path(chosen) if chosen else Path(platformdirs.user_data_dir("oddcup"))


def read_settings(data_dir: str | None = None, base_url: str | None = None) -> Settings:
    """Return the settings: an explicit argument wins over the environment.

    ``ODDCUP_DATABASE_URL`` names a PostgreSQL database; without it an SQLite file
    lies in the data directory (``ODDCUP_DATA_DIR`` or the user's own).
    """
    from server.storage.engine import sqlite_url  # SQLAlchemy takes 0.2 s to load

    url = os.environ.get("ODDCUP_DATABASE_URL") if data_dir is None else None
    return Settings(
        database_url=url or sqlite_url(find_data_dir(data_dir)),
        base_url=(base_url or os.environ.get("ODDCUP_BASE_URL") or "").rstrip("/") or None,
    )
