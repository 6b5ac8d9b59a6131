"""Pages and photos become one file: the photos lie before the pages that keep slots for them.

Photos are written once, into the file that is issued; only the pages, some hundred kilobytes,
pass through qpdf. One cross-reference table covers both, as in a file made in one piece.
"""

from __future__ import annotations

import re
from typing import IO

from bradawl.report.pdf.photos import EmbeddedPhotos

__all__ = ["HEADER", "SLOT_KEY", "append_pages"]

#: How qpdf begins a file of this version; photos follow it.
HEADER = b"%PDF-1.7\n%\xbf\xf7\xa2\xfe\n"
#: The key that marks a slot, beside the SHA-256 of the photo that it waits for.
SLOT_KEY = "BradawlSlot"

_TABLE = re.compile(
    rb"xref\n0 (\d+)\n((?:\d{10} \d{5} [nf] \n)+)trailer (<<.*>>)\nstartxref\n\d+\n%%EOF\n\Z",
    re.DOTALL,
)
# Matched at an object's own offset only and from its first byte, so no text can pass for it.
_SLOT = re.compile(rb"\d+ 0 obj\n<< /%s \(([0-9a-f]{64})\) >>" % SLOT_KEY.encode())


def append_pages(pages: bytes, out: IO[bytes], photos: EmbeddedPhotos) -> None:
    """Append laid-out `pages`, as qpdf wrote them, to `out`, which holds `HEADER` and the shelf.

    Raises ValueError when `pages` are not built as qpdf builds a file.
    """
    table = _TABLE.search(pages, max(pages.rfind(b"\nxref\n"), 0))
    if not pages.startswith(HEADER) or table is None:
        raise ValueError("The laid-out pages are not built as they should be.")
    rows = table[2].split(b"\n")[1:-1]
    begins = {number: int(row[:10]) for number, row in enumerate(rows, 1) if row[17:18] == b"n"}
    order = sorted(begins, key=lambda number: begins[number])
    ends = [*(begins[number] for number in order[1:]), table.start()]
    slots: dict[str, int] = {}
    offsets: dict[int, int] = {}
    for number, end in zip(order, ends, strict=True):
        slot = _SLOT.match(pages, begins[number], end)
        if slot is not None:
            slots[slot[1].decode()] = number
        else:
            offsets[number] = out.tell()
            out.write(pages[begins[number] : end])
    offsets |= photos.assign_numbers(slots)
    begin = out.tell()
    out.write(b"xref\n0 %d\n0000000000 65535 f \n" % (len(rows) + 1))
    for number in range(1, len(rows) + 1):
        out.write(b"%010d 00000 n \n" % offsets[number])
    out.write(b"trailer %s\nstartxref\n%d\n%%%%EOF\n" % (table[3], begin))
