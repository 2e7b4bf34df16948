"""What a taster alone is to pour, and pictures of turned cups."""

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.add_column("serving", sa.Column("pours", sa.JSON(none_as_null=True), nullable=True))
    op.create_table(
        "photo",
        sa.Column("hash", sa.String(), nullable=False),
        sa.Column("tasting_id", sa.Uuid(), nullable=False),
        sa.Column("image", sa.LargeBinary(), nullable=False),
        sa.ForeignKeyConstraint(["tasting_id"], ["tasting.id"]),
        sa.PrimaryKeyConstraint("hash", "tasting_id"),
    )


def downgrade() -> None:
    op.drop_table("photo")
    op.drop_column("serving", "pours")
