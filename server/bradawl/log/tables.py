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

_ID, _HASH, _STAMP = String(32), String(64), String(54)
_METADATA = SQLModel.metadata  # one for all tables, so that migrations see them together
_column = partial(Column, nullable=False)

#: How far one device's chain is held: `held` events, the last with the hash `head`. A chain that
#: the server writes itself names in `stands_for` the device it was asked to write as. It is
#: `closed` in every backup: what is restored from one must not go on under numbers that phones
#: may have seen with other events.
DEVICES = Table(
    "log_device",
    _METADATA,
    _column("device", _ID, primary_key=True),
    _column("held", BigInteger),
    _column("head", _HASH),
    _column("last_at", _STAMP),
    _column("received_ms", BigInteger),
    _column("skew_ms", BigInteger),
    _column("stands_for", _ID, server_default=""),
    _column("closed", Boolean, server_default=false()),
)

#: Events `from_seq` to `to_seq` of one device, stored once and never changed. `body` is a JSON
#: array of {"at","over","put","value","visit"}; `device`, `seq` and `prev` of each event follow
#: from the row. `prev` and `head` are the hashes before and after it.
BATCHES = Table(
    "log_batch",
    _METADATA,
    _column("device", _ID, ForeignKey("log_device.device"), primary_key=True),
    _column("from_seq", BigInteger, primary_key=True),
    _column("to_seq", BigInteger),
    _column("prev", _HASH),
    _column("head", _HASH),
    _column("received_ms", BigInteger),
    _column("body", LargeBinary),
)

#: What the list of visits needs, kept in the transaction that stores the events.
VISITS = Table(
    "log_visit",
    _METADATA,
    _column("visit", _ID, primary_key=True),
    _column("first_at", _STAMP),
    _column("last_at", _STAMP),
    _column("events", BigInteger),
    Index("log_visit_last_at", "last_at"),
)

#: In which batches a visit's events lie.
BATCH_VISITS = Table(
    "log_batch_visit",
    _METADATA,
    _column("visit", _ID, ForeignKey("log_visit.visit"), primary_key=True),
    _column("device", _ID, primary_key=True),
    _column("from_seq", BigInteger, primary_key=True),
    ForeignKeyConstraint(["device", "from_seq"], ["log_batch.device", "log_batch.from_seq"]),
)

#: A photo whose original is whole and fsynced in the photo store; written after it. `width` and
#: `height` are pixels of the upright picture.
PHOTOS = Table(
    "log_photo",
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
