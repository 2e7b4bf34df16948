"""Migrations bring a database to exactly the tables the code knows."""

from concurrent.futures import ThreadPoolExecutor

import pytest
from alembic import command
from alembic.autogenerate import compare_metadata
from alembic.config import Config
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import Engine, inspect, text
from sqlmodel import SQLModel

from server.storage.engine import CannotOpen, open_engine
from server.storage.migrate import MIGRATIONS, NEWEST, upgrade

OLD = {"id": "5f0c0f4e6d0e4b569b1e1d2c3b4a5968"}
OLD_TASTING = (
    "INSERT INTO tasting (id, name, join_code, state, method, plan, schema_no, key_source, style,"
    " version, created_at) VALUES (:id, 'Urns', 'CODE1', 'draft', 'triangle', '{}', 1, 'drawn',"
    " 'own', 0, '2031-05-14 09:00:00+00:00')"
)


def test_the_newest_revision_is_what_the_tables_module_says(engine: Engine) -> None:
    with engine.connect() as connection:
        context = MigrationContext.configure(connection, opts={"compare_type": True})
        assert compare_metadata(context, SQLModel.metadata) == []


def test_every_table_is_made_by_a_revision(engine: Engine) -> None:
    made = set(inspect(engine).get_table_names()) - {"alembic_version"}
    assert made == set(SQLModel.metadata.tables)


def test_upgrading_an_up_to_date_database_changes_nothing(engine: Engine) -> None:
    before = inspect(engine).get_table_names()
    upgrade(engine)
    assert inspect(engine).get_table_names() == before


def test_an_up_to_date_database_is_known_by_the_last_revision_there_is() -> None:
    config = Config()
    config.set_main_option("script_location", str(MIGRATIONS))
    assert ScriptDirectory.from_config(config).get_current_head() == NEWEST


def test_a_database_of_an_unknown_revision_is_refused(blank_url: str) -> None:
    engine = open_engine(blank_url)
    upgrade(engine)
    with engine.begin() as connection:
        connection.execute(text("UPDATE alembic_version SET version_num = '9999'"))
    with pytest.raises(CannotOpen, match="9999"):
        upgrade(engine)
    engine.dispose()


def test_two_servers_may_upgrade_one_blank_database_at_once(blank_url: str) -> None:
    engines = [open_engine(blank_url), open_engine(blank_url)]
    with ThreadPoolExecutor(2) as pool:
        list(pool.map(upgrade, engines))
    assert "seal" in inspect(engines[0]).get_table_names()
    for engine in engines:
        engine.dispose()


def test_cups_of_an_older_database_are_the_only_ones_of_their_code(blank_url: str) -> None:
    config = Config()
    config.set_main_option("script_location", str(MIGRATIONS))
    engine = open_engine(blank_url)
    with engine.execution_options(oddcup_write=True).begin() as connection:
        config.attributes["connection"] = connection
        command.upgrade(config, "0002")
        connection.execute(text(OLD_TASTING), OLD)
        connection.execute(
            text("INSERT INTO cup (id, tasting_id, code) VALUES (:id, :id, '385')"), OLD
        )
    upgrade(engine)
    with engine.connect() as connection:
        assert connection.execute(text("SELECT code, bowl FROM cup")).all() == [("385", 0)]
    engine.dispose()
