"""The shop's letterhead: name, address, phone, web, as reports and the check page print them.

Set once at the desk and kept as one of the shop's own entries in the log.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import asdict, dataclass
from typing import Any

from bradawl.common.display_text import for_line
from bradawl.common.errors import ApiError
from bradawl.language import message

__all__ = ["PATH", "Letterhead", "checked", "letterhead_in", "letterhead_of"]

#: Where it stands among the shop's entries.
PATH = "letterhead"
LONGEST = {"name": 60, "address": 160, "phone": 40, "web": 120, "check_page": 160}

_HOST = r"[a-z0-9](?:[a-z0-9-]{0,62}\.)*[a-z0-9-]{1,63}(?::\d{1,5})?"
_WEB = re.compile(rf"(?:https?://)?{_HOST}(?:/[!-~]*)?", re.IGNORECASE)


@dataclass(frozen=True)
class Letterhead:
    """What stands at the head of a report; an empty text where the shop has none.

    `check_page` is where strangers find this shop's check page, an address that begins with https.
    """

    name: str = ""
    address: str = ""
    phone: str = ""
    web: str = ""
    check_page: str = ""

    @property
    def lines(self) -> list[str]:
        """What is printed, one line each, without what is empty."""
        return [line for line in (self.name, self.address, self.phone, self.web) if line]

    def as_value(self) -> dict[str, str]:
        """As it is recorded."""
        return asdict(self)


def checked(given: Mapping[str, str]) -> Letterhead:
    """A letterhead as it was typed, tidied. Raises ApiError 422 for what is no address."""
    tidy = {
        name: for_line(str(given.get(name) or ""), most).strip() for name, most in LONGEST.items()
    }
    if tidy["web"] and not _WEB.fullmatch(tidy["web"]):
        raise ApiError("web", message("access-letterhead-web-wrong", given=tidy["web"]), 422)
    check_page = tidy["check_page"]
    if check_page and not (check_page.startswith("https://") and _WEB.fullmatch(check_page)):
        raise ApiError(
            "check_page", message("access-letterhead-check-wrong", given=check_page), 422
        )
    return Letterhead(**tidy)


def letterhead_of(value: Any) -> Letterhead:
    """A recorded letterhead; what is no text in it is empty."""
    if not isinstance(value, Mapping):
        return Letterhead()
    return Letterhead(
        **{
            name: for_line(value[name], most)
            for name, most in LONGEST.items()
            if isinstance(value.get(name), str)
        }
    )


def letterhead_in(events: Iterable[Mapping[str, Any]], own_devices: Iterable[str]) -> Letterhead:
    """The letterhead among the shop's events; only what the desk itself wrote counts."""
    own = frozenset(own_devices)
    written = [
        event
        for event in events
        if event["put"] == PATH and event["device"] in own and not event.get("fenced")
    ]
    if not written:
        return Letterhead()
    last = max(written, key=lambda event: str(event.get("rank") or event["at"]))
    return letterhead_of(last.get("value"))
