"""What a leader has at hand; nothing is known of leaders who were there before."""

import sqlalchemy as sa
from alembic import op

revision = "0006"
down_revision = "0005"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.add_column("account", sa.Column("kit", sa.JSON(), nullable=True))


def downgrade() -> None:
    op.drop_column("account", "kit")
