"""Put an SQLite file back as it was, while an engine holds it open.

Opening an engine afresh makes it compile every statement again, which would take most of
the time of most tests.
"""

import sqlite3
from contextlib import closing
from pathlib import Path


def copy_database(source: Path, target: Path) -> None:
    """Make ``target`` hold what ``source`` holds."""
    with closing(sqlite3.connect(source)) as old, closing(sqlite3.connect(target)) as new:
        old.backup(new)
