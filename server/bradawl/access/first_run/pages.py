"""The five questions of the first run, one page each, and the page where all are found again."""

# No postponed annotations here: FastAPI reads them.
from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import segno
from fastapi import APIRouter, Response
from markupsafe import Markup

from bradawl.access.core.client import is_loopback
from bradawl.access.first_run import backup_places
from bradawl.access.web.context import ConfirmedOwner, Owner, Text, User, see
from bradawl.common.errors import ApiError
from bradawl.common.installation import choices
from bradawl.common.settings import REGIONS
from bradawl.language import message

pages = APIRouter(prefix="/desk/welcome")
HOME = "/desk/welcome"
QUESTIONS = ("shop", "place", "passphrase", "backup", "phone")


def _chosen(owner: User) -> choices.Choices:
    try:
        return choices.read(owner.parts.settings.data)
    except ValueError:
        return choices.Choices()


def _keep(owner: User, question: str = "", *, unasked: str = "", **changes: Any) -> None:
    """Keep what was chosen, and that `question` was asked, `unasked` not. Raises ApiError."""
    before = _chosen(owner)
    done = {*before.asked, question} - {unasked}
    asked = tuple(one for one in QUESTIONS if one in done)
    try:
        choices.keep(owner.parts.settings.data, replace(before, asked=asked, **changes))
    except OSError as error:
        why = message("access-welcome-unwritten", why=str(error.strerror))
        raise ApiError("storage", why, 503) from error


def _open_questions(owner: User) -> list[str]:
    """Questions that nobody was asked and that are not answered elsewhere at the desk."""
    asked = _chosen(owner).asked
    answered = [one for one in ("shop", "passphrase", "phone") if _answer(owner, one)]
    return [one for one in QUESTIONS if one not in (*asked, *answered)]


def _after(owner: User, question: str) -> Response:
    """On to the next open question; after the last to all of them."""
    later = QUESTIONS[QUESTIONS.index(question) + 1 :]
    place = next((one for one in _open_questions(owner) if one in later), "")
    return see(f"{HOME}/{place}" if place else HOME)


# All of them, and the sample


@pages.get("")
def home(owner: Owner) -> Response:
    return _home(owner)


def _home(owner: User, problem: ApiError | None = None) -> Response:
    asked = _chosen(owner).asked
    following = _open_questions(owner)
    return owner.page(
        "first_run/home.html",
        problem,
        rows=[(question, _answer(owner, question), question in asked) for question in QUESTIONS],
        next=following[0] if following else "",
        begun=bool(asked),
        sample=owner.parts.sample.state() if _may_play(owner) else None,
        phones=len(owner.access.devices.all()),
    )


def _answer(owner: User, question: str) -> str:
    """What was answered, in a word; empty where nothing was."""
    settings = owner.parts.settings.now()
    match question:
        case "shop":
            return owner.parts.letterhead().get("name", "")
        case "place":
            return settings.region if "place" in _chosen(owner).asked else ""
        case "passphrase":
            return "yes" if owner.access.people.anybody_can_sign_in() else ""
        case "backup":
            return str(settings.backups or "")
    phones = [phone.name for phone in owner.access.devices.all() if not phone.revoked_ms]
    return ", ".join(dict.fromkeys(phones))  # many begin under the same name


def _may_play(owner: User) -> bool:
    """The sample answers on this computer alone, so others are not led to it."""
    return owner.parts.sample is not None and is_loopback(owner.request)


@pages.post("/sample")
def play(owner: Owner) -> Response:
    _require_here(owner)
    base = owner.request.base_url
    owner.parts.sample.begin(f"{base.scheme}://{base.netloc}{HOME}")
    return see(f"{HOME}#sample")


@pages.post("/sample/remove")
def remove_sample(owner: Owner) -> Response:
    _require_here(owner)
    try:
        owner.parts.sample.remove()
    except OSError as error:
        why = message("access-welcome-unwritten", why=str(error.strerror))
        return _home(owner, ApiError("storage", why, 503))
    return see(f"{HOME}#sample")


def _require_here(owner: User) -> None:
    if not _may_play(owner):
        raise ApiError("elsewhere", message("access-welcome-sample-elsewhere"), 403)


# One question each


@pages.get("/{question}")
def ask(owner: Owner, question: str) -> Response:
    if question == "phone" and owner.access.mode == "lan":
        _keep(owner, question)  # the start after the choice led here; none need do so again
    return _ask(owner, question)


def _ask(owner: User, question: str, problem: ApiError | None = None, **given: object) -> Response:
    if question not in QUESTIONS:
        raise ApiError("not_found", message("server-http-404"), 404)
    settings = owner.parts.settings.now()
    address, fingerprint = owner.parts.phones_begin()
    values: dict[str, object] = {
        "question": question,
        "number": QUESTIONS.index(question) + 1,
        "of": len(QUESTIONS),
        "letterhead": owner.parts.letterhead(),
        "regions": REGIONS,
        "region": settings.region,
        "fixed": settings.fixed,
        "open": owner.access.is_open_to(owner.request),
        "signs_in": owner.access.people.anybody_can_sign_in(),
        "name": owner.person.name,
        "folder": str(settings.backups or ""),
        "found": _places(owner) if question == "backup" else (),
        "network": _chosen(owner).network,
        "mode": owner.access.mode,
        "first_address": address,
        "fingerprint": fingerprint,
        "qr": _qr(address),
    }
    return owner.page("first_run/question.html", problem, **{**values, **given})


def _places(owner: User) -> Sequence[backup_places.Found]:
    return backup_places.found(owner.parts.settings.data)


def _qr(address: str) -> Markup:
    """The address as a picture that a phone's camera reads; empty without one."""
    if not address:
        return Markup("")
    return Markup(segno.make(address, error="m").svg_inline(scale=5, border=4, light="#fff"))


@pages.post("/shop")
def shop(
    owner: Owner, name: Text = "", address: Text = "", phone: Text = "", web: Text = ""
) -> Response:
    given = {**owner.parts.letterhead(), "name": name, "address": address}
    given |= {"phone": phone, "web": web}
    try:
        owner.parts.keep_letterhead(owner.person, given)
        _keep(owner, "shop")
    except ApiError as problem:
        return _ask(owner, "shop", problem, letterhead=given)
    owner.record("letterhead changed", name[:60])
    return _after(owner, "shop")


@pages.post("/place")
def place(owner: Owner, region: Text = "") -> Response:
    if region not in REGIONS:
        return _ask(owner, "place", ApiError("region", message("access-welcome-place-one"), 422))
    _keep(owner, "place", region=region)
    return _after(owner, "place")


@pages.post("/backup")
def backup(owner: ConfirmedOwner, folder: Text = "", typed: Text = "") -> Response:
    wanted = typed.strip() or folder.strip()
    try:
        checked = backup_places.checked(wanted) if wanted else None
        usual = owner.parts.settings.data / "backups"
        _keep(owner, "backup", backups=str(checked) if checked not in (None, usual) else "")
    except ApiError as problem:
        return _ask(owner, "backup", problem, folder=wanted)
    owner.record("place of backups chosen", wanted[:200])
    return _after(owner, "backup")


@pages.post("/phone")
def phone(owner: Owner, network: Text = "") -> Response:
    if network and not owner.access.people.anybody_can_sign_in():
        problem = ApiError("passphrase", message("access-welcome-phone-passphrase"), 422)
        return _ask(owner, "phone", problem)
    if network and owner.access.mode == "local":
        _keep(owner, network=True, unasked="phone")  # the next start leads here once more
        return see(f"{HOME}/phone")
    _keep(owner, "phone", network=bool(network))
    return see(HOME)


@pages.post("/{question}/skip")
def skip(owner: Owner, question: str) -> Response:
    if question not in QUESTIONS:
        raise ApiError("not_found", message("server-http-404"), 404)
    _keep(owner, question)
    return _after(owner, question)
