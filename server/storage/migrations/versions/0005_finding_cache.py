"""Findings of scored tables, worked out once for each version of the record."""

import sqlalchemy as sa
from alembic import op

revision = "0005"
down_revision = "0004"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "findingcache",
        sa.Column("tasting_id", sa.Uuid(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("body", sa.LargeBinary(), nullable=False),
        sa.ForeignKeyConstraint(["tasting_id"], ["tasting.id"]),
        sa.PrimaryKeyConstraint("tasting_id", "version", "kind"),
    )


def downgrade() -> None:
    op.drop_table("findingcache")
