"""Triggers of revision 0001: what is sealed cannot be changed, whoever writes the SQL.

Frozen with its revision: a change is a new revision with a new file.
"""

from collections.abc import Iterator

SEALED_TABLES = ("sample", "brewslot", "comparison", "serving", "cup", "placement", "cuptruth")

# table: columns that must not change once the tasting is sealed
FIXED_COLUMNS = {
    "seat": ("id", "tasting_id", "number", "spare", "token"),
    "tasting": ("id", "name", "join_code", "method", "plan", "schema_no", "key_source", "style"),
}

# table: the only columns that may change, and only to NULL (a person asks to be erased)
ERASABLE = {
    "event": (("body", "leaf_salt"), ("tasting_id", "seq", "kind", "leaf_hash", "head")),
    "answer": (
        ("body",),
        ("id", "tasting_id", "seat_id", "serving_id", "pass_name", "revision", "client_key",
         "device_at", "received_at", "source"),
    ),
}  # fmt: skip

NEVER = ("seal", "accepted")


def sealing_triggers(dialect: str) -> Iterator[str]:
    """Yield the statements that create every trigger, for ``sqlite`` or ``postgresql``."""
    build = _sqlite if dialect == "sqlite" else _postgresql
    sealed = "EXISTS (SELECT 1 FROM seal WHERE seal.tasting_id = {row}.{column})"
    for table in SEALED_TABLES:
        for verb, row in (("INSERT", "NEW"), ("UPDATE", "OLD"), ("DELETE", "OLD")):
            yield from build(table, verb, sealed.format(row=row, column="tasting_id"))
    for table, columns in FIXED_COLUMNS.items():
        key = "id" if table == "tasting" else "tasting_id"
        condition = sealed.format(row="OLD", column=key)
        changed = " OR ".join(_differs(column, dialect) for column in columns)
        back = " OR NEW.state = 'draft'" if table == "tasting" else ""
        yield from build(table, "UPDATE", f"{condition} AND ({changed}{back})")
        yield from build(table, "DELETE", condition)
    yield from build("seat", "INSERT", sealed.format(row="NEW", column="tasting_id"))
    for table in NEVER:
        yield from build(table, "UPDATE", "1 = 1")
        yield from build(table, "DELETE", "1 = 1")
    for table, (may_empty, fixed) in ERASABLE.items():
        changed = " OR ".join(_differs(column, dialect) for column in fixed)
        filled = " OR ".join(f"NEW.{column} IS NOT NULL" for column in may_empty)
        yield from build(table, "UPDATE", f"{changed} OR {filled}")
        yield from build(table, "DELETE", "1 = 1")
    if dialect == "postgresql":
        yield from _refuse_truncate()


def _differs(column: str, dialect: str) -> str:
    if dialect == "sqlite":
        return f"NEW.{column} IS NOT OLD.{column}"
    return f"CAST(NEW.{column} AS text) IS DISTINCT FROM CAST(OLD.{column} AS text)"


def _refuse_truncate() -> Iterator[str]:
    """Yield what stops TRUNCATE, which passes by the triggers of rows."""
    yield (
        "CREATE FUNCTION sealed_truncate() RETURNS trigger LANGUAGE plpgsql AS $$ BEGIN "
        "IF EXISTS (SELECT 1 FROM seal) THEN RAISE EXCEPTION 'sealed: nothing can be emptied'; "
        "END IF; RETURN NULL; END $$"
    )
    for table in (*SEALED_TABLES, *FIXED_COLUMNS, *ERASABLE, *NEVER):
        yield (
            f"CREATE TRIGGER {table}_sealed_truncate BEFORE TRUNCATE ON {table} "
            "FOR EACH STATEMENT EXECUTE FUNCTION sealed_truncate()"
        )


def _sqlite(table: str, verb: str, condition: str) -> Iterator[str]:
    yield (
        f"CREATE TRIGGER {table}_sealed_{verb.lower()} BEFORE {verb} ON {table} "
        f"WHEN {condition} BEGIN SELECT RAISE(ABORT, 'sealed: {table} cannot change'); END"
    )


def _postgresql(table: str, verb: str, condition: str) -> Iterator[str]:
    name = f"{table}_sealed_{verb.lower()}"
    result = "OLD" if verb == "DELETE" else "NEW"
    yield (
        f"CREATE FUNCTION {name}() RETURNS trigger LANGUAGE plpgsql AS $$ BEGIN "
        f"IF {condition} THEN RAISE EXCEPTION 'sealed: {table} cannot change'; END IF; "
        f"RETURN {result}; END $$"
    )
    yield (f"CREATE TRIGGER {name} BEFORE {verb} ON {table} FOR EACH ROW EXECUTE FUNCTION {name}()")
