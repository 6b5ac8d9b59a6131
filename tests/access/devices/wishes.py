"""What a phone sends when it asks to be paired. A phone is called by its id, which has its key."""

from __future__ import annotations

from bradawl.common.device_keys import DeviceKey
from tests.writing import key_of, pairing_wish

_KEYS: dict[str, DeviceKey] = {}


def phone_id(name: str) -> str:
    """The id of the phone whose key follows from `name`."""
    key = key_of(name)
    return _KEYS.setdefault(key.device, key).device


PHONE = phone_id("one phone")


def wish(device: str = PHONE, name: str = "Test phone") -> dict[str, str]:
    """The wish of a phone that `phone_id` gave."""
    return dict(pairing_wish(_KEYS[device], name))
