"""Access: people, sessions, phones, pairing, links, grants, attempts, audit."""

import sqlalchemy as sa
from alembic import op

revision = "0101"
down_revision = "0100"
branch_labels = None
depends_on = None

TABLES = (
    "access_seen",
    "access_audit",
    "access_attempt",
    "access_grant",
    "access_link",
    "access_pairing",
    "access_device",
    "access_invitation",
    "access_session",
    "access_person",
)


def _person(*, nullable: bool = False) -> sa.Column[str]:
    return sa.Column(
        "person_id", sa.String(32), sa.ForeignKey("access_person.id"), nullable=nullable
    )


def upgrade() -> None:
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
    )
    op.create_index("ix_access_session_person_id", "access_session", ["person_id"])
    op.create_table(
        "access_invitation",
        sa.Column("token_hash", sa.String(64), primary_key=True),
        _person(),
        sa.Column("expires_ms", sa.BigInteger, nullable=False),
        sa.Column("used_ms", sa.BigInteger),
    )
    op.create_index("ix_access_invitation_person_id", "access_invitation", ["person_id"])
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
    op.create_table(
        "access_seen",
        sa.Column("device", sa.String(32), primary_key=True),
        sa.Column("seq", sa.BigInteger, nullable=False),
        sa.Column("at_ms", sa.BigInteger, nullable=False),
    )
    _make_audit_append_only()


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


def downgrade() -> None:
    for table in TABLES:
        op.drop_table(table)
    if op.get_bind().dialect.name == "postgresql":
        op.execute("DROP FUNCTION access_audit_keep()")
