"""The server's own chains: for whom each stands, and whether it may go on."""

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.add_column(
        "log_device", sa.Column("stands_for", sa.String(32), nullable=False, server_default="")
    )
    op.add_column(
        "log_device", sa.Column("closed", sa.Boolean, nullable=False, server_default=sa.false())
    )


def downgrade() -> None:
    op.drop_column("log_device", "closed")
    op.drop_column("log_device", "stands_for")
