"""A whole server over a data folder of its own, with a visit that names its seller everywhere."""

from __future__ import annotations

import io
import json
import subprocess
from pathlib import Path
from typing import Any

import pikepdf
from PIL import Image

from bradawl.common import settings
from bradawl.common.settings import Settings
from bradawl.serving.app import create_app
from bradawl.serving.core import Bradawl
from tests.fresh import furnished
from tests.log.photos.pictures import sha256
from tests.log.writer import Writer
from tests.writing import key_of, plain, seal_value, write

KEY = key_of("forgetting")
PHONE = KEY.device
VISIT = "a1" * 16
SELLER = "Tilda Wéxalby, (555) 010-0199"
PLACE = "12 Quarry Lane, Lindrach"
#: What may be found nowhere afterwards: name, number, address; é has two forms in JSON.
SECRETS = ("Wéxalby", "010-0199", "010 0199", "Quarry", "Lindrach")
NOTE, WHY = "items/rust.sill-front/note", "items/brakes.front-pads/why"
READING = "items/brakes.front-pads/readings/pad/front-left"


def picture(shade: int) -> bytes:
    file = io.BytesIO()
    Image.new("RGB", (64, 48), (shade, 40, 90)).save(file, "JPEG")
    return file.getvalue()


LETTER, SILL = picture(10), picture(200)
LETTER_PATH = f"items/papers.title/photos/{sha256(LETTER)}"
SILL_PATH = f"items/rust.sill-front/photos/{sha256(SILL)}"


def puts(bundle: str) -> list[tuple[str, Any]]:
    """What the phone recorded, in order."""
    return [
        ("about/bundle", bundle),
        ("about/started", {"date": "2026-11-25", "time": "09:20", "zone": "+01:00"}),
        ("about/inspector", "Ada Fernack"),
        ("about/seller", "Tilda Wéxalby"),
        ("about/seller", SELLER),
        ("about/place", PLACE),
        ("car/make", "Testa"),
        ("car/model", "One"),
        ("car/year", 1974),
        (NOTE, "Tilda Wéxalby says repaired"),
        (NOTE, "Tilda Wéxalby says repaired, call 555 010 0199"),
        ("items/rust.sill-front/grade", {"grade": "minor"}),
        (READING, {"typed": "2.5", "unit": "mm"}),
        ("items/brakes.front-pads/grade", {"grade": "none"}),
        (WHY, "Tilda Wéxalby had them changed"),
        (LETTER_PATH, {"caption": "Letter of Tilda Wéxalby", "type": "image/jpeg"}),
        (SILL_PATH, {"caption": "Sill, says Tilda Wéxalby", "type": "image/jpeg"}),
    ]


class Shop:
    """`core` is the server, `writer` the phone's chain."""

    def __init__(self, data: Path, state: Path) -> None:
        self.settings = Settings(
            data=data,
            database_url=settings.at(data).database_url,
            photo_store=settings.at(data).photo_store,
            chain_notes=state / "bradawl-chains",
        )
        self.writer = Writer(KEY, VISIT)
        self.start()

    def start(self) -> None:
        furnished(self.settings.data)
        self.app = create_app(self.settings)
        self.core: Bradawl = self.app.state.core

    def stop(self) -> None:
        self.core.close()

    def fill(self) -> None:
        """The visit as the phone recorded and sealed it, photos included."""
        write(self.writer, puts(self.core.checklists.hash))
        value = seal_value(KEY, VISIT, [plain(one) for one in self.writer.events])
        self.writer.put("seal/1", value)
        owner = self.core.access.first_owner()
        self.core.access.pairing.pair_at_once(PHONE, "Ada’s phone", owner.id)
        self.push()
        for data in (LETTER, SILL):
            with self.core.log.photos.arriving(sha256(data)) as arrival:
                arrival.add(data)
                self.core.log.photos.keep(arrival, PHONE)
        self.core.log.photos.finish()

    def push(self) -> None:
        """Send all that the phone has recorded."""
        self.core.log.push(self.writer.batch(), received_ms=self.writer.ms)


def found_in(folder: Path) -> dict[str, list[str]]:
    """Which secrets lie in which files of a folder: in UTF-8, or as JSON escapes them."""
    found: dict[str, list[str]] = {}
    for path in sorted(folder.rglob("*")):
        if not path.is_file():
            continue
        data = path.read_bytes()
        for secret in SECRETS:
            forms = {secret.encode(), json.dumps(secret)[1:-1].encode()}
            if any(form in data for form in forms):
                found.setdefault(path.name, []).append(secret)
    return found


def everything_in(pdf: bytes) -> str:
    """The text of the pages, the document's metadata and every attached file."""
    text = subprocess.run(["pdftotext", "-", "-"], input=pdf, capture_output=True, check=True)
    found = [text.stdout.decode()]
    with pikepdf.open(io.BytesIO(pdf)) as document:
        found.append(json.dumps({str(k): str(v) for k, v in document.docinfo.items()}))
        found.append(str(document.open_metadata()))
        for attached in document.attachments.values():
            found.append(attached.get_file().read_bytes().decode(errors="replace"))
    return "\n".join(found)
