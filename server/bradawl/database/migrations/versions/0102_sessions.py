"""Sign-ins that can be told apart: from which browser and address."""

import sqlalchemy as sa
from alembic import op

revision = "0102"
down_revision = "0101"
branch_labels = None
depends_on = None


def upgrade() -> None:
    for name in ("browser", "address"):
        op.add_column(
            "access_session", sa.Column(name, sa.String, nullable=False, server_default="")
        )


def downgrade() -> None:
    for name in ("address", "browser"):
        op.drop_column("access_session", name)
