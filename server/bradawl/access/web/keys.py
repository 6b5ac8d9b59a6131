"""Pages for keys: the one that signs reports, known signers, the authority that phones trust."""

# No postponed annotations here: FastAPI reads them, and these name local values.
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Annotated, Any, Protocol

from fastapi import APIRouter, Depends, File, Form, Request, Response, UploadFile
from fastapi.responses import RedirectResponse

from bradawl.access.core.client import address_of
from bradawl.access.core.models import Person
from bradawl.access.web.auth import Access
from bradawl.access.web.rendering import render
from bradawl.common.errors import ApiError

Text = Annotated[str, Form()]
#: RFC 8555 section 9.1, IANA: PEM certificate chains.
PEM_TYPE = "application/pem-certificate-chain"


class Certificate(Protocol):
    """What is shown of a signer's certificate."""

    @property
    def name(self) -> str: ...
    @property
    def fingerprint(self) -> str: ...
    @property
    def pem(self) -> str: ...


class KnownSigner(Protocol):
    """A signer under the name that this workshop gave them."""

    @property
    def name(self) -> str: ...


class Signers(Protocol):
    """What these pages need of the part that signs; its refusals are ApiErrors."""

    def shop(self) -> Certificate: ...
    def at_the_desk(self) -> Sequence[Certificate]: ...
    def known(self) -> Sequence[KnownSigner]: ...
    def find(self, fingerprint: str) -> Certificate | None: ...
    def look(self, data: bytes) -> Sequence[Certificate]: ...
    def know(self, pem: str, name: str) -> KnownSigner: ...
    def forget(self, fingerprint: str) -> str | None: ...
    def replace_shop_key(self, name: str) -> Certificate: ...


def add(routes: APIRouter, access: Access, signers: Signers, keys: Path) -> None:
    """The pages; all of them need an owner who confirmed a moment ago.

    `keys` is the folder of private keys; of it only certificates are shown.
    """
    Confirmed = Annotated[Person, Depends(access.confirmed_owner)]  # noqa: N806 - a type

    def page(request: Request, me: Person, status: int = 200, problem: str = "") -> Response:
        from bradawl.access.authority.view import shown_in  # its library is slow to load

        faults: list[str] = [problem] if problem else []
        return render(
            request,
            "keys/list.html",
            status,
            me=me,
            shop=_or_fault(signers.shop, faults),
            at_the_desk=signers.at_the_desk(),
            known=_or_fault(signers.known, faults) or [],
            trusted=shown_in(keys),
            lan=access.mode == "lan",
            keys=keys,
            problem=" ".join(dict.fromkeys(faults)),
            here="/desk/keys",
        )

    def record(request: Request, me: Person, act: str, who: Certificate | str) -> None:
        about = who if isinstance(who, str) else f"{who.name}, {who.fingerprint[:16]}"
        access.audit.record(me.name, act, about, address_of(request))

    @routes.get("/desk/keys")
    def show(request: Request, me: Confirmed) -> Response:
        return page(request, me)

    @routes.get("/desk/keys/certificates/{fingerprint}.pem")
    def take_out(request: Request, me: Confirmed, fingerprint: str) -> Response:
        found = signers.find(fingerprint)
        if found is None:
            raise ApiError("unknown_signer", "No signer here has that certificate.", 404)
        record(request, me, "certificate taken out", found)
        name = f"signer-{found.fingerprint[:16]}.pem"
        headers = {"Content-Disposition": f'attachment; filename="{name}"'}
        return Response(found.pem, media_type=PEM_TYPE, headers=headers)

    @routes.post("/desk/keys/look")
    def look(
        request: Request,
        me: Confirmed,
        file: Annotated[UploadFile | None, File()] = None,
        pasted: Text = "",
    ) -> Response:
        data = file.file.read() if file is not None and file.filename else pasted.encode()
        try:
            found = signers.look(data)
        except ApiError as wrong:
            return page(request, me, wrong.status, wrong.message)
        return render(request, "keys/compare.html", me=me, found=found, here="/desk/keys")

    @routes.post("/desk/keys/know")
    def know(request: Request, me: Confirmed, pem: Text = "", name: Text = "") -> Response:
        try:
            known = signers.know(pem, name)
        except ApiError as wrong:
            return page(request, me, wrong.status, wrong.message)
        (certificate,) = signers.look(pem.encode())[:1]
        record(request, me, "signer known", f"{known.name}, {certificate.fingerprint[:16]}")
        return RedirectResponse("/desk/keys", 303)

    @routes.post("/desk/keys/forget")
    def forget(request: Request, me: Confirmed, fingerprint: Text = "") -> Response:
        name = signers.forget(fingerprint)
        if name is not None:
            record(request, me, "signer no longer known", f"{name}, {fingerprint[:16]}")
        return RedirectResponse("/desk/keys", 303)

    @routes.post("/desk/keys/replace")
    def replace(
        request: Request, me: Confirmed, name: Text = "", understood: Text = ""
    ) -> Response:
        try:
            if not understood:
                raise ApiError("understood", "Tick the box first: the old key is gone then.", 422)
            certificate = signers.replace_shop_key(name)
        except ApiError as wrong:
            return page(request, me, wrong.status, wrong.message)
        record(request, me, "signing key replaced", certificate)
        return RedirectResponse("/desk/keys", 303)


def _or_fault(get: Callable[[], Any], faults: list[str]) -> Any:
    """What `get` gives, or None with its refusal among the faults: the page must still open."""
    try:
        return get()
    except ApiError as wrong:
        faults.append(wrong.message)
        return None
