"""The authority of a Bradawl before this one: too wide, so it ends with the first start.

It was one certificate for the machine's bare name and everything below it, `.local` as a whole, any
use and ten years, and it lay in the folder of keys itself.
"""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

from bradawl.access.authority import certificates, files, lifecycle

CERTIFICATE = "authority.pem"
FILES = (CERTIFICATE, "authority.key", "server.pem", "server.key")


def is_there(keys: Path) -> bool:
    """Whether there is one in a folder of keys."""
    return (keys / CERTIFICATE).is_file()


def retire(keys: Path, *, now: datetime | None = None) -> str:
    """Overwrite its key and remember its name; a sentence about it, empty where there is none."""
    certificate = lifecycle.read_certificate(keys / CERTIFICATE)
    if certificate is None:
        return ""
    folder = lifecycle.folder_in(keys)
    with files.one_at_a_time(folder):
        lifecycle.note_former(folder, certificate, now or certificates.utc_now())
        for name in FILES:
            if name.endswith(".key"):
                files.overwrite(keys / name)
        # The certificate last: as long as it is there, all of this is done once more.
        for name in reversed(FILES):
            (keys / name).unlink(missing_ok=True)
    return (
        f"The authority “{certificates.common_name(certificate)}”, which phones trusted until now, "
        f"could vouch for more than this workshop: {certificates.too_wide(certificate)}. Its key "
        "was overwritten and another authority made. Every phone has to trust that one and remove "
        "the old one; the address above leads through both. What phones hold stays."
    )
