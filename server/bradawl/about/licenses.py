"""Version, what is new, and the licenses of the web app's works, as one text that goes with it."""

from __future__ import annotations

import json

from bradawl import __version__
from bradawl.about.changes import changes_in
from bradawl.about.notices import Notice
from bradawl.common import resources
from bradawl.language import text


def as_text() -> str:
    """What has to go along with the app's files. Raises FileNotFoundError where none was built."""
    notices = [
        Notice(**entry)
        for built in ("web.json", "fonts.json")
        for entry in json.loads((resources.path_of("notices") / built).read_text(encoding="utf-8"))
    ]
    lines = [f"Bradawl {__version__}", "", text("cli-about-new", version=__version__)]
    lines += [f"- {sentence}" for sentence in changes_in(__version__)]
    lines += ["", text("cli-about-own")]
    for notice in sorted(notices, key=lambda notice: notice.name.lower()):
        lines += ["", "-" * 80, f"{notice.name} {notice.version}: {notice.license}", notice.text]
    return "\n".join(lines) + "\n"
