"""Writes the phone app as files for any https host: what a server answers, at the same addresses.

A phone asks for the app below `app/` and for checklists and judge below `api/v1/`; these files lie
there, so that the very app that was built works unchanged, and a server that later answers at the
same name takes the phone over with its storage and its key. `app/index.html` alone says that there
is nobody to ask, and carries the content policy that a server sends in an answer's head.
"""

from __future__ import annotations

import hashlib
import html
import json
import re
import shutil
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from bradawl import __version__
from bradawl.access.network.headers import APP_POLICY, permissions_for
from bradawl.language import locales, message, text
from bradawl.language.catalogue import PSEUDO
from bradawl.serving.offline import PROTOCOL, TROUBLE, Documents

#: What the page says in its first element (web/src/app/state/this-page.ts).
ALONE = "data-alone"
#: A folder of the host: words of letters, digits, - and _, with slashes between them.
_FOLDER = re.compile(r"[A-Za-z0-9_-]+(?:/[A-Za-z0-9_-]+)*", re.ASCII).fullmatch
#: An address that begins at the root of the host, as the build writes it.
_ROOTED = re.compile(r"(?<=[\"'`(,])/(app|api)/")
#: The same in the one regular expression that has it.
_ROOTED_PATTERN = re.compile(r"/\^\\/api\\/")
_VERSION = re.compile(r"bradawl-app-[0-9a-f]{16}")
_PACKED = (".br", ".gz")
_WORDS = (".js", ".css", ".html", ".webmanifest")
#: Templates that are filled by a server.
_NOT_ALONE = frozenset({"check.html"})


class StaticAppError(Exception):
    """The files cannot be written there; the message says why and what would be right."""


@dataclass(frozen=True)
class Written:
    """What was written: how many files, their bytes together, the app's version for its worker."""

    files: int
    size_bytes: int
    version: str


def write_app(
    place: Path,
    web: Path,
    documents: Documents,
    *,
    folder: str = "",
    about: str = "",
    check_page: str = "",
) -> Written:
    """Write the app into `place`, for a host that shows it at its root, or in `folder` below it.

    `web` is the built app, `about` the text of its licenses, `check_page` the page with which
    strangers check reports. What was written there before is renewed; checklists of then stay, as
    visits go on with the one that they began with. Raises StaticAppError, OSError.
    """
    if folder and not _FOLDER(folder):
        raise StaticAppError(message("cli-phone-app-folder", folder=folder))
    if place.exists() and not place.is_dir():
        raise StaticAppError(message("cli-phone-app-not-a-folder", place=str(place)))
    if place.exists() and any(place.iterdir()) and not _is_ours(place):
        raise StaticAppError(message("cli-phone-app-not-empty", place=str(place)))
    prefix = f"/{folder}" if folder else ""
    app = dict(_app_files(web, prefix))
    app["about.txt"] = about.encode()
    rest = dict(_answers(documents, prefix))
    version = _version({**app, **rest})
    app["sw.js"] = _VERSION.sub(f"bradawl-app-{version}", app["sw.js"].decode()).encode()
    rest["index.html"] = _way_in().encode()
    rest["headers.txt"] = _headers().encode()
    if check_page:
        rest["check.html"] = check_page.encode()
    shutil.rmtree(place / "app", ignore_errors=True)
    files = {**{f"app/{name}": content for name, content in app.items()}, **rest}
    for name, content in files.items():
        path = place / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(content)
    return Written(len(files), sum(map(len, files.values())), version)


def _is_ours(place: Path) -> bool:
    page = place / "app" / "index.html"
    return page.is_file() and ALONE in page.read_text(encoding="utf-8", errors="replace")


def _app_files(web: Path, prefix: str) -> Iterator[tuple[str, bytes]]:
    """The built app's files by name, each as it is shown below `prefix`. Raises StaticAppError."""
    for path in sorted(web.rglob("*")):
        name = path.relative_to(web).as_posix()
        if not path.is_file() or path.suffix in _PACKED or name in _NOT_ALONE:
            continue
        content = path.read_bytes()
        if path.suffix in _WORDS:
            written = _below(content.decode(), prefix)
            content = (_alone(written) if name == "index.html" else written).encode()
        yield name, content


def _below(written: str, prefix: str) -> str:
    """A file of the app whose addresses begin at `prefix` instead of at the root."""
    if not prefix:
        return written
    pattern = prefix.replace("/", "\\/")
    moved = _ROOTED.sub(rf"{prefix}/\1/", written)
    return _ROOTED_PATTERN.sub(lambda _: f"/^{pattern}\\/api\\/", moved)


def _alone(page: str) -> str:
    """The app's page, which says that there is no server, and which policy holds for it."""
    # a policy in a page cannot say who may frame it (CSP Level 3, 3.3): a host may, by a header
    policy = "; ".join(
        part for part in APP_POLICY.split("; ") if not part.startswith("frame-ancestors")
    )
    meta = f'<meta http-equiv="Content-Security-Policy" content="{html.escape(policy)}">'
    marked = page.replace("<html ", f"<html {ALONE} ", 1)
    whole = marked.replace("<head>", f"<head>\n    {meta}", 1)
    if ALONE not in whole or meta not in whole:
        raise StaticAppError(message("cli-phone-app-other-build"))
    return whole


def _answers(documents: Documents, prefix: str) -> Iterator[tuple[str, bytes]]:
    """What a server would answer below `/api/v1`, by the same names."""
    judge, checklist = documents.judge.hash, documents.checklists().hash
    complaints = documents.complaints()
    names = {
        "protocol": PROTOCOL,
        "app": __version__,
        "judge": f"{prefix}/api/v1/judge/{judge}.json",
        "checklists": f"{prefix}/api/v1/checklists/{checklist}.json",
        "complaints": f"{prefix}/api/v1/checklists/{complaints}/{TROUBLE}.json",
    }
    yield "api/v1/offline", json.dumps(names).encode()
    yield f"api/v1/judge/{judge}.json", documents.judge_at_once.text.encode()
    yield f"api/v1/judge/{judge}/{TROUBLE}.json", documents.judge_later.text.encode()
    yield f"api/v1/checklists/{checklist}.json", documents.checklist(checklist).text.encode()
    for name in {checklist, complaints}:
        yield f"api/v1/checklists/{name}/{TROUBLE}.json", documents.trouble(name).text.encode()
    for locale in sorted(set(locales()) - {PSEUDO}):
        translated = documents.checklist(checklist, locale).text.encode()
        yield f"api/v1/checklists/{checklist}/{locale}.json", translated


def _version(files: Mapping[str, bytes]) -> str:
    """A name for exactly these files: with another one, phones take the new version along."""
    digest = hashlib.sha256()
    for name in sorted(files):
        digest.update(f"\n{name} {len(files[name])}\n".encode())
        digest.update(files[name])
    return digest.hexdigest()[:16]


def _way_in() -> str:
    """The page at the top of the folder, which leads to the app."""
    return (
        '<!doctype html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        '<meta http-equiv="refresh" content="0; url=app/">\n<title>Bradawl</title>\n</head>\n'
        '<body><p><a href="app/">Bradawl</a></p></body>\n</html>\n'
    )


def _headers() -> str:
    """What a host may add to its answers, one header a line; the app works without."""
    lines = {
        "Content-Security-Policy": APP_POLICY,
        "Permissions-Policy": permissions_for("/app/"),
        "Strict-Transport-Security": "max-age=31536000",
        "X-Content-Type-Options": "nosniff",
        "X-Frame-Options": "DENY",
        "Referrer-Policy": "same-origin",
        "Cross-Origin-Opener-Policy": "same-origin",
    }
    said = [f"{name}: {value}" for name, value in lines.items()]
    return "\n".join([text("cli-phone-app-headers"), "", *said, ""])
