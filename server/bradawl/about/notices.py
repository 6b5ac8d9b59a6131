"""Libraries and fonts that Bradawl is made with, each with its license.

What Python installs says so itself in its metadata; what the web app and the report's fonts were
built from is noted by the builds (`web/tools/notices.ts`, `server/build_fonts.py`).
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from dataclasses import dataclass
from importlib.metadata import Distribution, PackageNotFoundError, distribution

from bradawl.common import resources

__all__ = ["Notice", "notices"]

#: Licenses that ask whoever passes the work on to pass its source on as well.
_COPYLEFT = re.compile(r"GPL|\bMPL|Mozilla|\bEPL|CDDL|EUPL")
_LICENSE_FILE = re.compile(r"licen[cs]e|copying|notice", re.IGNORECASE)
_MOST_WORDS = 60  # characters of a license's name; some packages give the whole text instead


@dataclass(frozen=True)
class Notice:
    """One work of others.

    `within` names the package whose wheel carries it, "" for one that stands by itself; `text` is
    its license as it came with it. `license` is its name, "" for one that has only that text.
    """

    name: str
    version: str
    license: str
    within: str = ""
    text: str = ""

    @property
    def copyleft(self) -> bool:
        return _COPYLEFT.search(self.license) is not None


def notices() -> list[Notice]:
    """Every library and font, by name. Raises FileNotFoundError where nothing was built yet."""
    found = [notice for package in _installed("bradawl") for notice in _of_package(package)]
    for built in ("web.json", "fonts.json"):
        file = resources.path_of("notices") / built
        found += [Notice(**entry) for entry in json.loads(file.read_text(encoding="utf-8"))]
    return sorted(found, key=lambda notice: (notice.name.lower(), notice.within))


def _installed(root: str) -> Iterator[Distribution]:
    """What `root` needs, with all that those need, as far as it is installed here."""
    seen: set[tuple[str, str]] = set()
    # `scale` counts where it was installed; other extras are for whoever builds and tests
    waiting = [(root, ""), (root, "scale")]
    while waiting:
        name, extra = waiting.pop()
        key = re.sub(r"[-_.]+", "-", name).lower()
        try:
            package = distribution(name)
        except PackageNotFoundError:  # for another system or an older Python
            continue
        if name != root and not any(key == other for other, _ in seen):
            yield package
        if (key, extra) in seen:
            continue
        seen.add((key, extra))
        for requirement in package.requires or ():
            waiting += _needs(requirement, extra)


def _needs(requirement: str, extra: str) -> list[tuple[str, str]]:
    """Name and extras of one line of `Requires-Dist`, if it belongs to `extra` ("": always)."""
    belongs = re.search(r"extra\s*==\s*['\"]([\w-]+)", requirement)
    named = re.match(r"([\w.-]+)\s*(?:\[([^\]]*)\])?", requirement)
    if named is None or (belongs[1] if belongs else "") != extra:
        return []
    extras = [word.strip() for word in (named[2] or "").split(",") if word.strip()]
    return [(named[1], name) for name in ("", *extras)]


def _of_package(package: Distribution) -> Iterator[Notice]:
    texts = _license_texts(package)
    yield Notice(
        package.name, package.version, _license_name(package), text="\n\n".join(texts.values())
    )
    for name, text in texts.items():
        if "bundled" in name.lower():  # what the wheel's maker linked into it
            for library, terms in re.findall(r"Name:\s*(\S+)\s+License:\s*(\S+)", text):
                yield Notice(library, "", terms, within=package.name)


def _license_texts(package: Distribution) -> dict[str, str]:
    files = [
        file
        for file in package.files or ()
        if ".dist-info" in str(file) and _LICENSE_FILE.search(file.name)
    ]
    return {str(file): file.read_text(encoding="utf-8") for file in files}


def _license_name(package: Distribution) -> str:
    """As its metadata has it: an SPDX expression, or a name and what it was filed under."""
    about = package.metadata.json
    if about.get("license_expression"):
        return str(about["license_expression"])
    written = str(about.get("license") or "").partition("\n")[0].partition(",")[0].strip()
    filed = [
        label.rpartition(" :: ")[2]
        for label in about.get("classifier") or ()
        if label.startswith("License ::")
    ]
    names = [written] if written and len(written) <= _MOST_WORDS else []
    # what it is filed under counts where it says more: a wheel's terms may be stricter
    if not _COPYLEFT.search(written):
        names += [label for label in filed if not names or _COPYLEFT.search(label)]
    return "; ".join(names)
