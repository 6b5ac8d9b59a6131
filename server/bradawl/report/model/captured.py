"""What was captured on the spot, as far as a report says it.

A photo that nobody sorted is in it once it has a caption; a recording is named, never embedded.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from bradawl.inspection.captured import captured
from bradawl.language import text
from bradawl.report.model.contents import CapturedShown, Photo

if TYPE_CHECKING:
    from collections.abc import Mapping

    from bradawl.report.model.editions.edition import EditionView

__all__ = ["captured_shown"]


def captured_shown(view: EditionView, titles: Mapping[str, str]) -> CapturedShown:
    """`titles` are the checklist's, by item."""
    found = captured(view.cells, view.texts)
    return CapturedShown(
        photos=tuple(
            Photo(one.sha256, one.text, one.taken, "")
            for one in found
            if one.kind == "photo" and one.text
        ),
        recordings=tuple(
            (
                text(f"report-recording-{one.kind}"),
                one.length,
                one.when(long=True),
                titles.get(one.item, one.item),
                one.text,
            )
            for one in found
            if one.is_sound
        ),
        notes=tuple((one.when(long=True), one.text) for one in found if one.kind == "note"),
        withheld=sum(
            path.startswith("media/") and bool(cell.get("withheld"))
            for path, cell in view.cells.items()
        ),
    )
