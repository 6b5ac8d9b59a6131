"""Which copy of each photo was made to be shown."""

import sqlalchemy as sa
from alembic import op

revision = "0104"
down_revision = "0103"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "served_copy",
        sa.Column("sha256", sa.String(64), primary_key=True),
        sa.Column("copy_sha256", sa.String(64), nullable=False),
    )


def downgrade() -> None:
    op.drop_table("served_copy")
