"""Pages for keys: the one that signs reports, known signers, the authority that phones trust.

All of them need an owner who confirmed a moment ago.
"""

# No postponed annotations here: FastAPI reads them.
from collections.abc import Callable
from datetime import UTC, datetime
from typing import Annotated, Any

from fastapi import APIRouter, File, Response, UploadFile

from bradawl.access.web.context import Certificate, ConfirmedOwner, Text, User, see
from bradawl.common.errors import ApiError
from bradawl.language import message

pages = APIRouter(prefix="/desk/keys")
#: RFC 8555 section 9.1, IANA: PEM certificate chains.
PEM_TYPE = "application/pem-certificate-chain"


def _page(owner: User, problem: ApiError | None = None) -> Response:
    from bradawl.access.authority.view import shown_in  # its library is slow to load

    signers, keys = owner.parts.signers, owner.parts.keys
    faults = [problem.message] if problem else []
    shop, known = _or_fault(signers.shop, faults), _or_fault(signers.known, faults) or []
    return owner.page(
        "keys/list.html",
        problem,
        shop=shop,
        published=_or_fault(signers.published, faults) or [],
        today=datetime.now(UTC).date().isoformat(),
        known=known,
        trusted=shown_in(keys),
        lan=owner.access.mode == "lan",
        keys=keys,
        here="/desk/keys",
        problem=" ".join(dict.fromkeys(faults)),
    )


def _or_fault(get: Callable[[], Any], faults: list[str]) -> Any:
    """What `get` gives, or None with its refusal among the faults: the page must still open."""
    try:
        return get()
    except ApiError as problem:
        faults.append(problem.message)
        return None


def _named(certificate: Certificate) -> str:
    return f"{certificate.name}, {certificate.fingerprint[:16]}"


@pages.get("")
def show(owner: ConfirmedOwner) -> Response:
    return _page(owner)


@pages.get("/certificates/{fingerprint}.pem")
def take_out(owner: ConfirmedOwner, fingerprint: str) -> Response:
    certificate = owner.parts.signers.find(fingerprint)
    if certificate is None:
        raise ApiError("unknown_signer", message("access-unknown-signer"), 404)
    owner.record("certificate taken out", _named(certificate))
    name = f"signer-{certificate.fingerprint[:16]}.pem"
    headers = {"Content-Disposition": f'attachment; filename="{name}"'}
    return Response(certificate.pem, media_type=PEM_TYPE, headers=headers)


@pages.post("/look")
def look(
    owner: ConfirmedOwner,
    file: Annotated[UploadFile | None, File()] = None,
    pasted: Text = "",
) -> Response:
    data = file.file.read() if file is not None and file.filename else pasted.encode()
    try:
        certificates = owner.parts.signers.look(data)
    except ApiError as problem:
        return _page(owner, problem)
    return owner.page("keys/compare.html", found=certificates, here="/desk/keys")


@pages.post("/know")
def know(owner: ConfirmedOwner, pem: Text = "", name: Text = "") -> Response:
    signers = owner.parts.signers
    try:
        signer = signers.know(pem, name)
    except ApiError as problem:
        return _page(owner, problem)
    (certificate,) = signers.look(pem.encode())[:1]
    owner.record("signer known", f"{signer.name}, {certificate.fingerprint[:16]}")
    return see("/desk/keys")


@pages.post("/forget")
def forget(owner: ConfirmedOwner, fingerprint: Text = "") -> Response:
    name = owner.parts.signers.forget(fingerprint)
    if name is not None:
        owner.record("signer no longer known", f"{name}, {fingerprint[:16]}")
    return see("/desk/keys")


@pages.post("/lost")
def declare_lost(
    owner: ConfirmedOwner, fingerprint: Text = "", since: Text = "", understood: Text = ""
) -> Response:
    try:
        if not understood:
            raise ApiError("understood", message("access-key-understood"), 422)
        name = owner.parts.signers.declare_lost(fingerprint, since)
    except ApiError as problem:
        return _page(owner, problem)
    owner.record("signing key lost", f"{name}, {fingerprint[:16]}, {since}")
    return see("/desk/keys")


@pages.post("/replace")
def replace(owner: ConfirmedOwner, name: Text = "", understood: Text = "") -> Response:
    try:
        if not understood:
            raise ApiError("understood", message("access-key-understood"), 422)
        certificate = owner.parts.signers.replace_shop_key(name)
    except ApiError as problem:
        return _page(owner, problem)
    owner.record("signing key replaced", _named(certificate))
    return see("/desk/keys")
