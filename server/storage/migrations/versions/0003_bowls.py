"""Several bowls under one code; a cup of any other tasting is the only one of its code."""

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.add_column("cup", sa.Column("bowl", sa.Integer(), server_default="0", nullable=False))


def downgrade() -> None:
    op.drop_column("cup", "bowl")
