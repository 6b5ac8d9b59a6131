"""The tables of protocol 2: the log's and those of access. Bradawl 0.1 had revisions below 0100."""

import sqlalchemy as sa
from alembic import op

revision = "0104"
down_revision = None
branch_labels = None
depends_on = None


def upgrade() -> None:
    _make_log()
    _make_blobs()
    _make_people()
    _make_phones()
    _make_sharing()
    _make_trail()
    _make_audit_append_only()


def _make_log() -> None:
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


def _make_blobs() -> None:
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
    op.create_table(
        "served_copy",
        sa.Column("sha256", sa.String(64), primary_key=True),
        sa.Column("copy_sha256", sa.String(64), nullable=False),
    )


def _person(*, nullable: bool = False) -> sa.Column[str]:
    return sa.Column(
        "person_id", sa.String(32), sa.ForeignKey("access_person.id"), nullable=nullable
    )


def _make_people() -> None:
    op.create_table(
        "access_person",
        sa.Column("id", sa.String(32), primary_key=True),
        sa.Column("name", sa.String, nullable=False),
        sa.Column("role", sa.String(16), nullable=False),
        sa.Column("passphrase", sa.String, nullable=False),
        sa.Column("created_ms", sa.BigInteger, nullable=False),
        sa.Column("disabled_ms", sa.BigInteger),
    )
    op.create_table(
        "access_session",
        sa.Column("token_hash", sa.String(64), primary_key=True),
        _person(),
        sa.Column("created_ms", sa.BigInteger, nullable=False),
        sa.Column("seen_ms", sa.BigInteger, nullable=False),
        sa.Column("confirmed_ms", sa.BigInteger, nullable=False),
        sa.Column("browser", sa.String, nullable=False, server_default=""),
        sa.Column("address", sa.String, nullable=False, server_default=""),
    )
    op.create_index("ix_access_session_person_id", "access_session", ["person_id"])
    op.create_table(
        "access_browser",
        sa.Column("token_hash", sa.String(64), primary_key=True),
        sa.Column("person_id", sa.String(32), sa.ForeignKey("access_person.id"), primary_key=True),
        sa.Column("seen_ms", sa.BigInteger, nullable=False),
    )
    op.create_index("ix_access_browser_person_id", "access_browser", ["person_id"])
    op.create_table(
        "access_invitation",
        sa.Column("token_hash", sa.String(64), primary_key=True),
        _person(),
        sa.Column("expires_ms", sa.BigInteger, nullable=False),
        sa.Column("used_ms", sa.BigInteger),
    )
    op.create_index("ix_access_invitation_person_id", "access_invitation", ["person_id"])


def _make_phones() -> None:
    op.create_table(
        "access_device",
        sa.Column("id", sa.String(32), primary_key=True),
        sa.Column("name", sa.String, nullable=False),
        _person(),
        sa.Column("token_hash", sa.String(64), unique=True),
        sa.Column("paired_ms", sa.BigInteger, nullable=False),
        sa.Column("seen_ms", sa.BigInteger, nullable=False),
        sa.Column("revoked_ms", sa.BigInteger),
    )
    op.create_index("ix_access_device_person_id", "access_device", ["person_id"])
    op.create_table(
        "access_pairing",
        sa.Column("secret_hash", sa.String(64), primary_key=True),
        sa.Column("code_hash", sa.String(64), nullable=False),
        sa.Column("words", sa.String, nullable=False),
        sa.Column("device", sa.String(32), nullable=False),
        sa.Column("name", sa.String, nullable=False),
        sa.Column("address", sa.String, nullable=False),
        sa.Column("state", sa.String(16), nullable=False),
        _person(nullable=True),
        sa.Column("expires_ms", sa.BigInteger, nullable=False),
    )
    op.create_index("ix_access_pairing_code_hash", "access_pairing", ["code_hash"])
    op.create_table(
        "access_seen",
        sa.Column("device", sa.String(32), primary_key=True),
        sa.Column("seq", sa.BigInteger, nullable=False),
        sa.Column("at_ms", sa.BigInteger, nullable=False),
    )


def _make_sharing() -> None:
    op.create_table(
        "access_link",
        sa.Column("id", sa.String(32), primary_key=True),
        sa.Column("token_hash", sa.String(64), nullable=False),
        sa.Column("visit", sa.String(32), nullable=False),
        sa.Column("edition", sa.String(16), nullable=False),
        sa.Column("label", sa.String, nullable=False),
        sa.Column("created_ms", sa.BigInteger, nullable=False),
        sa.Column("expires_ms", sa.BigInteger, nullable=False),
        sa.Column("revoked_ms", sa.BigInteger),
        sa.Column("opened", sa.Integer, nullable=False),
    )
    op.create_index("ix_access_link_visit", "access_link", ["visit"])
    op.create_table(
        "access_grant",
        sa.Column("person_id", sa.String(32), sa.ForeignKey("access_person.id"), primary_key=True),
        sa.Column("visit", sa.String(32), primary_key=True),
        sa.Column("edition", sa.String(16), primary_key=True),
        sa.Column("created_ms", sa.BigInteger, nullable=False),
    )


def _make_trail() -> None:
    op.create_table(
        "access_attempt",
        sa.Column("id", sa.Integer, primary_key=True),
        sa.Column("key", sa.String(64), nullable=False),
        sa.Column("at_ms", sa.BigInteger, nullable=False),
    )
    op.create_index("ix_access_attempt_key_at_ms", "access_attempt", ["key", "at_ms"])
    op.create_table(
        "access_audit",
        sa.Column("id", sa.Integer, primary_key=True),
        sa.Column("at_ms", sa.BigInteger, nullable=False),
        sa.Column("who", sa.String, nullable=False),
        sa.Column("act", sa.String, nullable=False),
        sa.Column("about", sa.String, nullable=False),
        sa.Column("address", sa.String, nullable=False),
    )


def _make_audit_append_only() -> None:
    # Not left to the program: whoever reaches the database through it cannot rewrite the trail.
    if op.get_bind().dialect.name == "sqlite":
        for act in ("UPDATE", "DELETE"):
            op.execute(
                f"CREATE TRIGGER access_audit_no_{act.lower()} BEFORE {act} ON access_audit "
                "BEGIN SELECT RAISE(ABORT, 'the audit trail is never changed or deleted'); END"
            )
        return
    op.execute(
        "CREATE FUNCTION access_audit_keep() RETURNS trigger LANGUAGE plpgsql AS $$ BEGIN "
        "RAISE EXCEPTION 'the audit trail is never changed or deleted'; END $$"
    )
    op.execute(
        "CREATE TRIGGER access_audit_keep BEFORE UPDATE OR DELETE OR TRUNCATE ON access_audit "
        "FOR EACH STATEMENT EXECUTE FUNCTION access_audit_keep()"
    )
