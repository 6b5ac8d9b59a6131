"""Browsers in which somebody signed in before."""

import sqlalchemy as sa
from alembic import op

revision = "0103"
down_revision = "0102"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "access_browser",
        sa.Column("token_hash", sa.String(64), primary_key=True),
        sa.Column("person_id", sa.String(32), sa.ForeignKey("access_person.id"), primary_key=True),
        sa.Column("seen_ms", sa.BigInteger, nullable=False),
    )
    op.create_index("ix_access_browser_person_id", "access_browser", ["person_id"])


def downgrade() -> None:
    op.drop_table("access_browser")
