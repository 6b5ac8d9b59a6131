"""The log of protocol 2: devices, batches of events, scopes, blobs and checklist bundles."""

import sqlalchemy as sa
from alembic import op

revision = "0100"
down_revision = None
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "log_device",
        sa.Column("device", sa.String(32), primary_key=True),
        sa.Column("key", sa.String(87), nullable=False),
        sa.Column("held", sa.BigInteger, nullable=False),
        sa.Column("head", sa.String(64), nullable=False),
        sa.Column("last_at", sa.String(54), nullable=False),
        sa.Column("received_ms", sa.BigInteger, nullable=False),
        sa.Column("skew_ms", sa.BigInteger, nullable=False),
        sa.Column("kind", sa.String(32), nullable=False, server_default="device"),
        sa.Column("stands_for", sa.String(32), nullable=False, server_default=""),
        sa.Column("closed", sa.Boolean, nullable=False, server_default=sa.false()),
        sa.Column("continues", sa.String(32), nullable=False, server_default=""),
        sa.Column("marked", sa.String(32), nullable=False, server_default=""),
    )
    op.create_table(
        "log_batch",
        sa.Column("device", sa.String(32), sa.ForeignKey("log_device.device"), primary_key=True),
        sa.Column("from_seq", sa.BigInteger, primary_key=True, autoincrement=False),
        sa.Column("to_seq", sa.BigInteger, nullable=False),
        sa.Column("prev", sa.String(64), nullable=False),
        sa.Column("head", sa.String(64), nullable=False),
        sa.Column("signature", sa.String(86), nullable=False),
        sa.Column("received_ms", sa.BigInteger, nullable=False),
        sa.Column("body", sa.LargeBinary, nullable=False),
        sa.Column("damaged", sa.Boolean, nullable=False, server_default=sa.false()),
    )
    op.create_table(
        "log_scope",
        sa.Column("scope", sa.String(43), primary_key=True),
        sa.Column("first_at", sa.String(54), nullable=False),
        sa.Column("last_at", sa.String(54), nullable=False),
        sa.Column("events", sa.BigInteger, nullable=False),
    )
    op.create_index("log_scope_last_at", "log_scope", ["last_at"])
    op.create_table(
        "log_batch_scope",
        sa.Column("scope", sa.String(43), sa.ForeignKey("log_scope.scope"), primary_key=True),
        sa.Column("device", sa.String(32), primary_key=True),
        sa.Column("from_seq", sa.BigInteger, primary_key=True, autoincrement=False),
        sa.ForeignKeyConstraint(["device", "from_seq"], ["log_batch.device", "log_batch.from_seq"]),
    )
    op.create_table(
        "log_blob",
        sa.Column("sha256", sa.String(64), primary_key=True),
        sa.Column("type", sa.String(32), nullable=False),
        sa.Column("bytes", sa.BigInteger, nullable=False),
        sa.Column("width", sa.Integer, nullable=False),
        sa.Column("height", sa.Integer, nullable=False),
        sa.Column("device", sa.String(32), nullable=False),
        sa.Column("received_ms", sa.BigInteger, nullable=False),
    )
    op.create_table(
        "log_bundle",
        sa.Column("hash", sa.String(64), primary_key=True),
        sa.Column("body", sa.Text, nullable=False),
        sa.Column("added_ms", sa.BigInteger, nullable=False),
    )


def downgrade() -> None:
    for table in (
        "log_bundle",
        "log_blob",
        "log_batch_scope",
        "log_scope",
        "log_batch",
        "log_device",
    ):
        op.drop_table(table)
