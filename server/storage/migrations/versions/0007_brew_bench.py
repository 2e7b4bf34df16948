"""Recipes that leaders keep, specimens of parts, and brews."""

import sqlalchemy as sa
from alembic import op

revision = "0007"
down_revision = "0006"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "recipecard",
        sa.Column("id", sa.Uuid(), nullable=False),
        sa.Column("account_id", sa.Uuid(), nullable=False),
        sa.Column("line", sa.Uuid(), nullable=False),
        sa.Column("title", sa.String(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("body", sa.JSON(), nullable=False),
        sa.Column("house", sa.Boolean(), nullable=False),
        sa.Column("created_at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(["account_id"], ["account.id"]),
        sa.PrimaryKeyConstraint("id"),
        sa.UniqueConstraint("line", "version"),
    )
    op.create_index("ix_recipecard_account_id", "recipecard", ["account_id"])
    op.create_table(
        "specimen",
        sa.Column("id", sa.Uuid(), nullable=False),
        sa.Column("account_id", sa.Uuid(), nullable=False),
        sa.Column("label", sa.String(), nullable=False),
        sa.Column("part", sa.String(), nullable=False),
        sa.Column("state", sa.String(), nullable=False),
        sa.Column("brews_before", sa.Integer(), nullable=False),
        sa.Column("note", sa.String(), nullable=False),
        sa.Column("retired", sa.Boolean(), nullable=False),
        sa.Column("created_at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(["account_id"], ["account.id"]),
        sa.PrimaryKeyConstraint("id"),
        sa.UniqueConstraint("account_id", "label"),
    )
    op.create_index("ix_specimen_account_id", "specimen", ["account_id"])
    op.create_table(
        "brew",
        sa.Column("id", sa.Uuid(), nullable=False),
        sa.Column("account_id", sa.Uuid(), nullable=False),
        sa.Column("recipe_id", sa.Uuid(), nullable=True),
        sa.Column("recipe", sa.JSON(), nullable=False),
        sa.Column("specimen_id", sa.Uuid(), nullable=True),
        sa.Column("tasting_id", sa.Uuid(), nullable=True),
        sa.Column("level", sa.String(), nullable=True),
        sa.Column("slot", sa.String(), nullable=True),
        sa.Column("body", sa.JSON(), nullable=False),
        sa.Column("created_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("kept_at", sa.DateTime(timezone=True), nullable=True),
        sa.ForeignKeyConstraint(["account_id"], ["account.id"]),
        sa.ForeignKeyConstraint(["recipe_id"], ["recipecard.id"]),
        sa.ForeignKeyConstraint(["specimen_id"], ["specimen.id"]),
        sa.ForeignKeyConstraint(["tasting_id"], ["tasting.id"]),
        sa.PrimaryKeyConstraint("id"),
    )
    for column in ("account_id", "specimen_id", "tasting_id"):
        op.create_index(f"ix_brew_{column}", "brew", [column])


def downgrade() -> None:
    for table in ("brew", "specimen", "recipecard"):
        op.drop_table(table)
