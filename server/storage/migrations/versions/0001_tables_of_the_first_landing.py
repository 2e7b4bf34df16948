"""Tables of the first landing."""

import sqlalchemy as sa
from alembic import op

from server.storage.migrations.triggers_0001 import sealing_triggers

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "account",
        sa.Column("id", sa.Uuid(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("password_hash", sa.String(), nullable=True),
        sa.Column("link_hash", sa.String(), nullable=True),
        sa.Column("link_expires", sa.DateTime(timezone=True), nullable=True),
        sa.PrimaryKeyConstraint("id"),
        sa.UniqueConstraint("name"),
    )
    op.create_table(
        "installation",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("secret", sa.String(), nullable=False),
        sa.CheckConstraint("id = 1", name="installation_has_one_row"),
        sa.PrimaryKeyConstraint("id"),
    )
    op.create_table(
        "person",
        sa.Column("id", sa.Uuid(), nullable=False),
        sa.Column("label", sa.String(), nullable=False),
        sa.Column("erased_at", sa.DateTime(timezone=True), nullable=True),
        sa.PrimaryKeyConstraint("id"),
    )
    op.create_table(
        "tasting",
        sa.Column("id", sa.Uuid(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("join_code", sa.String(), nullable=False),
        sa.Column("state", sa.String(), nullable=False),
        sa.Column("method", sa.String(), nullable=False),
        sa.Column("plan", sa.JSON(), nullable=False),
        sa.Column("schema_no", sa.Integer(), nullable=False),
        sa.Column("key_source", sa.String(), nullable=False),
        sa.Column("style", sa.String(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("head", sa.String(), nullable=True),
        sa.Column("created_at", sa.DateTime(timezone=True), nullable=False),
        sa.CheckConstraint(
            "state IN ('draft','sealed','serving','closed','unsealed','abandoned')",
            name="tasting_state_is_known",
        ),
        sa.PrimaryKeyConstraint("id"),
        sa.UniqueConstraint("join_code"),
    )
    op.create_table(
        "comparison",
        sa.Column("id", sa.Uuid(), nullable=False),
        sa.Column("tasting_id", sa.Uuid(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("samples", sa.JSON(), nullable=False),
        sa.Column("purpose", sa.String(), nullable=False),
        sa.ForeignKeyConstraint(
            ["tasting_id"],
            ["tasting.id"],
        ),
        sa.PrimaryKeyConstraint("id"),
        sa.UniqueConstraint("tasting_id", "name"),
    )
    op.create_index(op.f("ix_comparison_tasting_id"), "comparison", ["tasting_id"], unique=False)
    op.create_table(
        "cup",
        sa.Column("id", sa.Uuid(), nullable=False),
        sa.Column("tasting_id", sa.Uuid(), nullable=False),
        sa.Column("code", sa.String(), nullable=False),
        sa.ForeignKeyConstraint(
            ["tasting_id"],
            ["tasting.id"],
        ),
        sa.PrimaryKeyConstraint("id"),
    )
    op.create_index(op.f("ix_cup_tasting_id"), "cup", ["tasting_id"], unique=False)
    op.create_table(
        "event",
        sa.Column("tasting_id", sa.Uuid(), nullable=False),
        sa.Column("seq", sa.Integer(), nullable=False),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("body", sa.JSON(none_as_null=True), nullable=True),
        sa.Column("leaf_salt", sa.String(), nullable=True),
        sa.Column("leaf_hash", sa.String(), nullable=False),
        sa.Column("head", sa.String(), nullable=False),
        sa.ForeignKeyConstraint(
            ["tasting_id"],
            ["tasting.id"],
        ),
        sa.PrimaryKeyConstraint("tasting_id", "seq"),
    )
    op.create_table(
        "membership",
        sa.Column("account_id", sa.Uuid(), nullable=False),
        sa.Column("tasting_id", sa.Uuid(), nullable=False),
        sa.Column("role", sa.String(), nullable=False),
        sa.ForeignKeyConstraint(
            ["account_id"],
            ["account.id"],
        ),
        sa.ForeignKeyConstraint(
            ["tasting_id"],
            ["tasting.id"],
        ),
        sa.PrimaryKeyConstraint("account_id", "tasting_id"),
    )
    op.create_table(
        "pourerlink",
        sa.Column("token", sa.String(), nullable=False),
        sa.Column("tasting_id", sa.Uuid(), nullable=False),
        sa.Column("rounds", sa.JSON(none_as_null=True), nullable=True),
        sa.Column("created_at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(
            ["tasting_id"],
            ["tasting.id"],
        ),
        sa.PrimaryKeyConstraint("token"),
    )
    op.create_index(op.f("ix_pourerlink_tasting_id"), "pourerlink", ["tasting_id"], unique=False)
    op.create_table(
        "sample",
        sa.Column("id", sa.Uuid(), nullable=False),
        sa.Column("tasting_id", sa.Uuid(), nullable=False),
        sa.Column("level", sa.String(), nullable=False),
        sa.Column("label", sa.String(), nullable=False),
        sa.ForeignKeyConstraint(
            ["tasting_id"],
            ["tasting.id"],
        ),
        sa.PrimaryKeyConstraint("id"),
        sa.UniqueConstraint("tasting_id", "level"),
    )
    op.create_index(op.f("ix_sample_tasting_id"), "sample", ["tasting_id"], unique=False)
    op.create_table(
        "seal",
        sa.Column("tasting_id", sa.Uuid(), nullable=False),
        sa.Column("text", sa.LargeBinary(), nullable=False),
        sa.Column("hash", sa.String(), nullable=False),
        sa.ForeignKeyConstraint(
            ["tasting_id"],
            ["tasting.id"],
        ),
        sa.PrimaryKeyConstraint("tasting_id"),
    )
    op.create_table(
        "seat",
        sa.Column("id", sa.Uuid(), nullable=False),
        sa.Column("tasting_id", sa.Uuid(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("spare", sa.Boolean(), nullable=False),
        sa.Column("token", sa.String(), nullable=False),
        sa.Column("person_id", sa.Uuid(), nullable=True),
        sa.Column("taken_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("claim_key", sa.String(), nullable=True),
        sa.Column("instructed_at", sa.DateTime(timezone=True), nullable=True),
        sa.ForeignKeyConstraint(
            ["person_id"],
            ["person.id"],
        ),
        sa.ForeignKeyConstraint(
            ["tasting_id"],
            ["tasting.id"],
        ),
        sa.PrimaryKeyConstraint("id"),
        sa.UniqueConstraint("tasting_id", "claim_key"),
        sa.UniqueConstraint("tasting_id", "number"),
        sa.UniqueConstraint("token"),
    )
    op.create_index(op.f("ix_seat_tasting_id"), "seat", ["tasting_id"], unique=False)
    op.create_table(
        "brewslot",
        sa.Column("id", sa.Uuid(), nullable=False),
        sa.Column("tasting_id", sa.Uuid(), nullable=False),
        sa.Column("sample_id", sa.Uuid(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("n", sa.Integer(), nullable=False),
        sa.Column("round", sa.Integer(), nullable=False),
        sa.Column("brews", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(
            ["sample_id"],
            ["sample.id"],
        ),
        sa.ForeignKeyConstraint(
            ["tasting_id"],
            ["tasting.id"],
        ),
        sa.PrimaryKeyConstraint("id"),
        sa.UniqueConstraint("tasting_id", "name"),
    )
    op.create_index(op.f("ix_brewslot_tasting_id"), "brewslot", ["tasting_id"], unique=False)
    op.create_table(
        "serving",
        sa.Column("id", sa.Uuid(), nullable=False),
        sa.Column("tasting_id", sa.Uuid(), nullable=False),
        sa.Column("seat_id", sa.Uuid(), nullable=False),
        sa.Column("comparison_id", sa.Uuid(), nullable=False),
        sa.Column("sitting", sa.Integer(), nullable=False),
        sa.Column("round", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(
            ["comparison_id"],
            ["comparison.id"],
        ),
        sa.ForeignKeyConstraint(
            ["seat_id"],
            ["seat.id"],
        ),
        sa.ForeignKeyConstraint(
            ["tasting_id"],
            ["tasting.id"],
        ),
        sa.PrimaryKeyConstraint("id"),
        sa.UniqueConstraint("seat_id", "sitting", "round"),
    )
    op.create_index(op.f("ix_serving_seat_id"), "serving", ["seat_id"], unique=False)
    op.create_index(op.f("ix_serving_tasting_id"), "serving", ["tasting_id"], unique=False)
    op.create_table(
        "answer",
        sa.Column("id", sa.Uuid(), nullable=False),
        sa.Column("tasting_id", sa.Uuid(), nullable=False),
        sa.Column("seat_id", sa.Uuid(), nullable=False),
        sa.Column("serving_id", sa.Uuid(), nullable=False),
        sa.Column("pass_name", sa.String(), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("body", sa.JSON(none_as_null=True), nullable=True),
        sa.Column("client_key", sa.String(), nullable=False),
        sa.Column("device_at", sa.String(), nullable=True),
        sa.Column("received_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("source", sa.String(), nullable=False),
        sa.ForeignKeyConstraint(
            ["seat_id"],
            ["seat.id"],
        ),
        sa.ForeignKeyConstraint(
            ["serving_id"],
            ["serving.id"],
        ),
        sa.ForeignKeyConstraint(
            ["tasting_id"],
            ["tasting.id"],
        ),
        sa.PrimaryKeyConstraint("id"),
        sa.UniqueConstraint("seat_id", "client_key"),
        sa.UniqueConstraint("serving_id", "pass_name", "revision"),
    )
    op.create_index(op.f("ix_answer_serving_id"), "answer", ["serving_id"], unique=False)
    op.create_index(op.f("ix_answer_tasting_id"), "answer", ["tasting_id"], unique=False)
    op.create_table(
        "cuptruth",
        sa.Column("cup_id", sa.Uuid(), nullable=False),
        sa.Column("slot_id", sa.Uuid(), nullable=False),
        sa.Column("tasting_id", sa.Uuid(), nullable=False),
        sa.Column("source", sa.String(), nullable=False),
        sa.ForeignKeyConstraint(
            ["cup_id"],
            ["cup.id"],
        ),
        sa.ForeignKeyConstraint(
            ["slot_id"],
            ["brewslot.id"],
        ),
        sa.ForeignKeyConstraint(
            ["tasting_id"],
            ["tasting.id"],
        ),
        sa.PrimaryKeyConstraint("cup_id"),
    )
    op.create_index(op.f("ix_cuptruth_tasting_id"), "cuptruth", ["tasting_id"], unique=False)
    op.create_table(
        "draft",
        sa.Column("seat_id", sa.Uuid(), nullable=False),
        sa.Column("serving_id", sa.Uuid(), nullable=False),
        sa.Column("pass_name", sa.String(), nullable=False),
        sa.Column("body", sa.JSON(), nullable=False),
        sa.ForeignKeyConstraint(
            ["seat_id"],
            ["seat.id"],
        ),
        sa.ForeignKeyConstraint(
            ["serving_id"],
            ["serving.id"],
        ),
        sa.PrimaryKeyConstraint("seat_id", "serving_id", "pass_name"),
    )
    op.create_table(
        "placement",
        sa.Column("serving_id", sa.Uuid(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("cup_id", sa.Uuid(), nullable=False),
        sa.Column("tasting_id", sa.Uuid(), nullable=False),
        sa.Column("role", sa.String(), nullable=False),
        sa.ForeignKeyConstraint(
            ["cup_id"],
            ["cup.id"],
        ),
        sa.ForeignKeyConstraint(
            ["serving_id"],
            ["serving.id"],
        ),
        sa.ForeignKeyConstraint(
            ["tasting_id"],
            ["tasting.id"],
        ),
        sa.PrimaryKeyConstraint("serving_id", "position"),
        sa.UniqueConstraint("cup_id"),
    )
    op.create_index(op.f("ix_placement_tasting_id"), "placement", ["tasting_id"], unique=False)
    op.create_table(
        "accepted",
        sa.Column("serving_id", sa.Uuid(), nullable=False),
        sa.Column("pass_name", sa.String(), nullable=False),
        sa.Column("answer_id", sa.Uuid(), nullable=False),
        sa.Column("tasting_id", sa.Uuid(), nullable=False),
        sa.ForeignKeyConstraint(
            ["answer_id"],
            ["answer.id"],
        ),
        sa.ForeignKeyConstraint(
            ["serving_id"],
            ["serving.id"],
        ),
        sa.ForeignKeyConstraint(
            ["tasting_id"],
            ["tasting.id"],
        ),
        sa.PrimaryKeyConstraint("serving_id", "pass_name"),
        sa.UniqueConstraint("answer_id"),
    )
    op.create_index(op.f("ix_accepted_tasting_id"), "accepted", ["tasting_id"], unique=False)
    for statement in sealing_triggers(op.get_bind().dialect.name):
        op.execute(sa.text(statement))


def downgrade() -> None:
    raise RuntimeError("there is nothing before the first revision")
