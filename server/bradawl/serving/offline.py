"""What a phone needs to work with no network: the judge's sources and the checklists.

Both are named by the hash of their content, so a phone keeps what it has until it chooses to
change, and a visit keeps the checklist it began with.
"""

# No postponed annotations here: FastAPI reads them.
import functools
from collections.abc import Callable, Mapping
from typing import Annotated, Any, cast

from fastapi import APIRouter, Depends, Request, Response

from bradawl import __version__
from bradawl.common.errors import ApiError, documented
from bradawl.language import locales, message
from bradawl.language.catalogue import PSEUDO
from bradawl.language.checklist_texts import changes
from bradawl.serving.build_cache import Document

PROTOCOL = 2
#: Of judge and checklist, what is loaded when somebody looks for a cause: no locale has that name.
TROUBLE = "trouble"
#: What of a bundle a phone gets by itself.
APART = ("locales", "symptoms")
FOR_EVER = {"Cache-Control": "public, max-age=31536000, immutable"}


class Documents:
    """The judge of today, the checklist that new visits begin with, and older ones by their hash.

    `checklists` gives the present one, `kept_bundle` finds any other bundle; `shipped` is Bradawl's
    own, whose complaint tables serve a shop's copy that was made before there were any.
    """

    def __init__(
        self,
        judge: Document,
        checklists: Callable[[], Document],
        kept_bundle: Callable[[str], Mapping[str, Any] | None],
        shipped: Document,
    ) -> None:
        self.judge = judge
        self._shipped = shipped
        self.checklists = checklists
        self._kept_bundle = kept_bundle
        self._packed = functools.lru_cache(maxsize=6)(self._pack)

    def checklist(self, name: str, locale: str = "") -> Document:
        """A checklist by its hash, in English; with a locale what reads otherwise there.

        Raises ApiError 404 "unknown_checklist".
        """
        return self._packed(name, locale)

    def trouble(self, name: str) -> Document:
        """The complaint tables of a checklist by its hash; none for one of before they were kept.

        Raises ApiError 404 "unknown_checklist".
        """
        return self._packed(name, TROUBLE)

    def complaints(self) -> str:
        """The hash of the checklist whose complaint tables are today's."""
        current = self.checklists()
        return current.hash if current.shared_value.get("symptoms") else self._shipped.hash

    @functools.cached_property
    def judge_at_once(self) -> Document:
        """The judge's files that a start needs."""
        return Document.of(self.judge.hash, {"files": self.judge.shared_value["files"]})

    @functools.cached_property
    def judge_later(self) -> Document:
        """Those that a phone loads when somebody looks for a cause."""
        return Document.of(self.judge.hash, {"files": self.judge.shared_value["trouble"]})

    def _pack(self, name: str, locale: str) -> Document:
        bundle = self._kept_bundle(name)
        if bundle is None:
            current = self.checklists()
            for document in (current, self._shipped):
                if name == document.hash:
                    bundle = document.value
        # nothing is remembered of what is not there: another server may yet receive it
        if bundle is None or locale not in ("", TROUBLE, *locales(), PSEUDO):
            raise ApiError("unknown_checklist", message("server-unknown-checklist"), 404)
        if locale == TROUBLE:
            return Document.of(name, {"symptoms": bundle.get("symptoms", [])})
        if locale:
            return Document.of(name, changes(bundle, locale, self.checklists().shared_value))
        return Document.of(name, {key: part for key, part in bundle.items() if key not in APART})


def router(documents: Documents) -> APIRouter:
    """Routes that need no login: they serve nothing that anybody recorded."""

    async def attach(request: Request) -> None:
        request.state.documents = documents

    api = APIRouter(dependencies=[Depends(attach)])
    api.include_router(_routes)
    return api


async def _documents(request: Request) -> Documents:
    return cast(Documents, request.state.documents)


DocumentsHere = Annotated[Documents, Depends(_documents)]
_routes = APIRouter(prefix="/api/v1", tags=["offline"])


@_routes.get("/offline")
def offline(documents: DocumentsHere) -> dict[str, Any]:
    """Where today's judge and checklists are."""
    return {
        "protocol": PROTOCOL,
        "app": __version__,
        "judge": f"/api/v1/judge/{documents.judge.hash}.json",
        "checklists": f"/api/v1/checklists/{documents.checklists().hash}.json",
        "complaints": f"/api/v1/checklists/{documents.complaints()}/{TROUBLE}.json",
    }


@_routes.get("/judge/{name}.json", responses=documented(404))
def judge_files(name: str, request: Request, documents: DocumentsHere) -> Response:
    """The judge package's own files, as a worker imports them."""
    if name != documents.judge.hash:
        raise ApiError(
            "gone",
            message("server-judge-gone"),
            404,
        )
    return _packed_response(request, documents.judge_at_once)


@_routes.get("/judge/{name}/trouble.json", responses=documented(404))
def judge_trouble(name: str, request: Request, documents: DocumentsHere) -> Response:
    """What of the judge leads from symptom to cause; the judge's hash names it as well."""
    if name != documents.judge.hash:
        raise ApiError("gone", message("server-judge-gone"), 404)
    return _packed_response(request, documents.judge_later)


@_routes.get("/checklists/{name}.json", responses=documented(404))
def checklist(name: str, request: Request, documents: DocumentsHere) -> Response:
    """A checklist bundle by its hash, old ones included, without its translations."""
    return _packed_response(request, documents.checklist(name))


@_routes.get("/checklists/{name}/trouble.json", responses=documented(404))
def checklist_trouble(name: str, request: Request, documents: DocumentsHere) -> Response:
    """The complaint tables of a bundle, whose hash names them as well."""
    return _packed_response(request, documents.trouble(name))


@_routes.get("/checklists/{name}/{locale}.json", responses=documented(404))
def checklist_texts(name: str, locale: str, request: Request, documents: DocumentsHere) -> Response:
    """What of a bundle reads otherwise in a locale: its texts, nested as they stand there.

    A bundle holds its translations, so its hash names these as well.
    """
    return _packed_response(request, documents.checklist(name, locale))


def _packed_response(request: Request, document: Document) -> Response:
    headers = {**FOR_EVER, "Vary": "Accept-Encoding"}
    if "gzip" not in request.headers.get("accept-encoding", ""):
        return Response(document.text, media_type="application/json", headers=headers)
    headers["Content-Encoding"] = "gzip"
    return Response(document.packed, media_type="application/json", headers=headers)
