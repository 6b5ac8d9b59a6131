"""The log's tables, used by Core statements alone; see README.md for the why.

Times ending in `_ms` are Unix milliseconds by the server's clock. `at` columns are hybrid
logical clock stamps of 54 characters that sort as text.
"""

from functools import partial

from sqlalchemy import (
    BigInteger,
    Boolean,
    Column,
    ForeignKey,
    ForeignKeyConstraint,
    Index,
    Integer,
    LargeBinary,
    String,
    Table,
    Text,
    false,
)
from sqlmodel import SQLModel

_ID, _HASH, _STAMP, _SCOPE = String(32), String(64), String(54), String(43)
_KEY, _SIGNATURE, _WORD = String(87), String(86), String(32)
_METADATA = SQLModel.metadata  # one for all tables, so that migrations see them together
_column = partial(Column, nullable=False)

#: How far one device's chain is held: `held` events, the last with the hash `head`. `kind` is
#: "device" (it signs itself), "shop" (this server writes it; `stands_for` names the writer it was
#: asked to write as) or "side" (this server wrote down what could not be verified). A chain is
#: `closed` when it must not go on under numbers that others may have seen with other events.
#: `continues` names the chain that it goes on from; `marked` says why the owner should look at it,
#: and is empty once confirmed.
DEVICES = Table(
    "log_device",
    _METADATA,
    _column("device", _ID, primary_key=True),
    _column("key", _KEY),
    _column("held", BigInteger),
    _column("head", _HASH),
    _column("last_at", _STAMP),
    _column("received_ms", BigInteger),
    _column("skew_ms", BigInteger),
    _column("kind", _WORD, server_default="device"),
    _column("stands_for", _ID, server_default=""),
    _column("closed", Boolean, server_default=false()),
    _column("continues", _ID, server_default=""),
    _column("marked", _WORD, server_default=""),
)

#: Events `from_seq` to `to_seq` of one device, stored once. `body` is a JSON array of
#: {"at","over","put","salt","scope","value"}, or {"at","commit","over","put","scope"} where the
#: value was erased, which is all that ever changes. `prev` and `head` are the hashes before and
#: after it, `signature` is the device's over `head`. A row whose bytes no longer add up is marked
#: `damaged` by the doctor, and so is one that came without values that nobody ordered to be
#: erased: it is passed over until a phone brings its events again.
BATCHES = Table(
    "log_batch",
    _METADATA,
    _column("device", _ID, ForeignKey("log_device.device"), primary_key=True),
    _column("from_seq", BigInteger, primary_key=True),
    _column("to_seq", BigInteger),
    _column("prev", _HASH),
    _column("head", _HASH),
    _column("signature", _SIGNATURE),
    _column("received_ms", BigInteger),
    _column("body", LargeBinary),
    _column("damaged", Boolean, server_default=false()),
)

#: What lists need of each scope, kept in the transaction that stores the events. Stamps far ahead
#: of when they came count as of then.
SCOPES = Table(
    "log_scope",
    _METADATA,
    _column("scope", _SCOPE, primary_key=True),
    _column("first_at", _STAMP),
    _column("last_at", _STAMP),
    _column("events", BigInteger),
    Index("log_scope_last_at", "last_at"),
)

#: In which batches a scope's events lie.
BATCH_SCOPES = Table(
    "log_batch_scope",
    _METADATA,
    _column("scope", _SCOPE, ForeignKey("log_scope.scope"), primary_key=True),
    _column("device", _ID, primary_key=True),
    _column("from_seq", BigInteger, primary_key=True),
    ForeignKeyConstraint(["device", "from_seq"], ["log_batch.device", "log_batch.from_seq"]),
)

#: A photo whose original is whole and fsynced in the photo store; written after it. `width` and
#: `height` are pixels of the upright picture.
PHOTOS = Table(
    "log_blob",
    _METADATA,
    _column("sha256", _HASH, primary_key=True),
    _column("type", String(32)),
    _column("bytes", BigInteger),
    _column("width", Integer),
    _column("height", Integer),
    _column("device", _ID),
    _column("received_ms", BigInteger),
)

#: A checklist bundle by its hash, kept for ever: a visit keeps the one it began with.
BUNDLES = Table(
    "log_bundle",
    _METADATA,
    _column("hash", _HASH, primary_key=True),
    _column("body", Text),
    _column("added_ms", BigInteger),
)
