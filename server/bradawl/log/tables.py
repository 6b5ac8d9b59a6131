"""The log's tables. Rows are read and written with Core statements; see README.md for the why.

Times ending in `_ms` are Unix milliseconds by the server's clock. `at` columns are hybrid
logical clock stamps of 54 characters that sort as text.
"""

from typing import Any

from sqlalchemy import BigInteger, ForeignKeyConstraint, Index, LargeBinary, Table, Text, false
from sqlmodel import Field, SQLModel


class DeviceRow(SQLModel, table=True):
    """How far one device's chain is held: `held` events, the last with the hash `head`.

    A chain that the server writes itself names in `stands_for` the device it was asked to write
    as. It is `closed` in every backup: what is restored from one must not go on under numbers
    that phones may have seen with other events.
    """

    __tablename__ = "log_device"
    device: str = Field(primary_key=True, max_length=32)
    held: int = Field(sa_type=BigInteger)
    head: str = Field(max_length=64)
    last_at: str = Field(max_length=54)
    received_ms: int = Field(sa_type=BigInteger)
    skew_ms: int = Field(sa_type=BigInteger)
    stands_for: str = Field(default="", max_length=32, sa_column_kwargs={"server_default": ""})
    closed: bool = Field(default=False, sa_column_kwargs={"server_default": false()})


class BatchRow(SQLModel, table=True):
    """Events `from_seq` to `to_seq` of one device, stored once and never changed.

    `body` is a JSON array of {"at","over","put","value","visit"}; `device`, `seq` and `prev` of
    each event follow from the row. `prev` and `head` are the hashes before and after it.
    """

    __tablename__ = "log_batch"
    device: str = Field(primary_key=True, max_length=32, foreign_key="log_device.device")
    from_seq: int = Field(primary_key=True, sa_type=BigInteger)
    to_seq: int = Field(sa_type=BigInteger)
    prev: str = Field(max_length=64)
    head: str = Field(max_length=64)
    received_ms: int = Field(sa_type=BigInteger)
    body: bytes = Field(sa_type=LargeBinary)


class VisitRow(SQLModel, table=True):
    """What the list of visits needs, kept in the transaction that stores the events."""

    __tablename__ = "log_visit"
    __table_args__ = (Index("log_visit_last_at", "last_at"),)
    visit: str = Field(primary_key=True, max_length=32)
    first_at: str = Field(max_length=54)
    last_at: str = Field(max_length=54)
    events: int = Field(sa_type=BigInteger)


class BatchVisitRow(SQLModel, table=True):
    """In which batches a visit's events lie."""

    __tablename__ = "log_batch_visit"
    __table_args__ = (
        ForeignKeyConstraint(["device", "from_seq"], ["log_batch.device", "log_batch.from_seq"]),
    )
    visit: str = Field(primary_key=True, max_length=32, foreign_key="log_visit.visit")
    device: str = Field(primary_key=True, max_length=32)
    from_seq: int = Field(primary_key=True, sa_type=BigInteger)


class PhotoRow(SQLModel, table=True):
    """A photo whose original is whole and fsynced in the photo store; written after it.

    `width` and `height` are pixels of the upright picture.
    """

    __tablename__ = "log_photo"
    sha256: str = Field(primary_key=True, max_length=64)
    type: str = Field(max_length=32)
    bytes: int = Field(sa_type=BigInteger)
    width: int
    height: int
    device: str = Field(max_length=32)
    received_ms: int = Field(sa_type=BigInteger)


class BundleRow(SQLModel, table=True):
    """A checklist bundle by its hash, kept for ever: a visit keeps the one it began with."""

    __tablename__ = "log_bundle"
    hash: str = Field(primary_key=True, max_length=64)
    body: str = Field(sa_type=Text)
    added_ms: int = Field(sa_type=BigInteger)


def _table(model: Any) -> Table:
    table = model.__table__
    assert isinstance(table, Table)
    return table


DEVICES = _table(DeviceRow)
BATCHES = _table(BatchRow)
VISITS = _table(VisitRow)
BATCH_VISITS = _table(BatchVisitRow)
PHOTOS = _table(PhotoRow)
BUNDLES = _table(BundleRow)
