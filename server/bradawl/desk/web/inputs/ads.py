"""The forms of an ad, of a new price, and of a claim."""

from __future__ import annotations

import secrets
from typing import Any

from bradawl.desk.model.changes import Puts
from bradawl.desk.model.typed_values import FieldError, amount, day
from bradawl.desk.web import forms
from bradawl.desk.web.visit_page import FormRequest
from bradawl.inspection.offer.ads import ASKING
from bradawl.inspection.offer.claims import STANDINGS, TELLERS
from bradawl.language import message, text

MOST_LETTERS = 20_000


def new_id() -> str:
    return secrets.token_hex(6)


def _day(posted: FormRequest, name: str, label: str) -> str:
    typed = forms.date_text(posted.form, name) or posted.desk.today()
    return day(typed, text(label))


def ad_typed(posted: FormRequest, name: str) -> Puts:
    """The ad as it was, and what it asks where that was typed."""
    ad: dict[str, Any] = {}
    with posted.problems.of("text"):
        ad["text"] = forms.text(posted.form, "text", MOST_LETTERS)
        if not ad["text"]:
            raise FieldError(message("claims-ad-empty"))
    with posted.problems.of("source"):
        ad["source"] = forms.text(posted.form, "source", 200)
    with posted.problems.of("date"):
        ad["date"] = _day(posted, "date", "claims-ad-date")
    puts: Puts = [(f"ads/{name}", ad)]
    if forms.text(posted.form, "price", 20):
        puts += price_typed(posted, name, ad.get("date", ""))
    return puts


def price_typed(posted: FormRequest, ad: str, date: str) -> Puts:
    """A price beside those before it; it is what is asked from now on."""
    with posted.problems.of("price"):
        asked = amount(forms.text(posted.form, "price", 20), text("claims-ad-price"))
        price = {"amount": asked, "date": date}
        return [(f"ads/{ad}/prices/{new_id()}", price), (ASKING, asked)]
    return []


def claim_typed(posted: FormRequest, kinds: list[str]) -> Puts:
    """What somebody says, as a claim of each of these kinds, or in words alone."""
    words = ""
    puts: Puts = []
    with posted.problems.of("words"):
        words = forms.text(posted.form, "words", 400)
        if not words:
            raise FieldError(message("claims-add-empty"))
    who = forms.text(posted.form, "who", 10)
    teller: dict[str, Any] = {"role": who if who in TELLERS else "other"}
    with posted.problems.of("name"):
        if name := forms.text(posted.form, "name", 80):
            teller["name"] = name
    with posted.problems.of("said-on"):
        date = _day(posted, "said-on", "claims-said-on")
        for kind in kinds or [""]:
            start = f"claims/{new_id()}"
            told: Puts = [(f"{start}/kind", kind)] if kind else []
            told += [(f"{start}/words", words), (f"{start}/date", date)]
            puts += [*told, (f"{start}/who", teller)]
    return puts


def state_typed(posted: FormRequest, claim: str, *, has_photo: bool) -> Puts:
    """What became of a claim; nothing is proven without a photo."""
    with posted.problems.of(f"state-{claim}"):
        state = forms.text(posted.form, "state", 10)
        if state not in STANDINGS:
            raise FieldError(message("claims-state-missing"))
        if state == "proven" and not has_photo:
            raise FieldError(message("claims-proof-first"))
        return [(f"claims/{claim}/state", {"state": state})]
    return []
