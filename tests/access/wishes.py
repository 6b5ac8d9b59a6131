"""What a phone sends when it asks to be paired: its key, and proof that it holds it."""

from __future__ import annotations

from bradawl.device_keys import DeviceKey


def wish(phone: str = "one phone", name: str = "Test phone") -> dict[str, str]:
    """The wish of a phone whose key follows from `phone`."""
    key = DeviceKey.derived(phone.encode())
    proof = key.sign(f"bradawl-pair-2\n{key.device}")
    return {"device": key.device, "name": name, "key": key.public, "proof": proof}
