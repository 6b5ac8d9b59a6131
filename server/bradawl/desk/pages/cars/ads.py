"""A car's ads and what is claimed of it: kept as they were, and what became of each claim."""

from collections.abc import Mapping
from typing import Any

from fastapi import APIRouter, Response

from bradawl.desk.model import findings
from bradawl.desk.model.changes import Puts, change_to
from bradawl.desk.model.errors import stale
from bradawl.desk.web import forms
from bradawl.desk.web.inputs.ads import ad_typed, claim_typed, new_id, price_typed, state_typed
from bradawl.desk.web.inputs.work_log import keep_photos, photos_typed
from bradawl.desk.web.visit_page import FormRequest, VisitForm, VisitPage, render_visit
from bradawl.inspection import cell_values
from bradawl.inspection.offer.ads import ads_of
from bradawl.inspection.offer.claims import STANDINGS, TELLERS, Claim, claims_of
from bradawl.judge.trouble.spotting import spotted
from bradawl.language import argument, message

pages = APIRouter(prefix="/visits/{visit}/claims")


@pages.get("")
def show_claims(page: VisitPage) -> Response:
    snapshot = page.snapshot
    rules = snapshot.bundle["rules"]
    claims = _claims(page)
    ads = ads_of(snapshot.cells)
    noted = {claim.kind for claim in claims}
    suggested = {
        ad.id: [
            {**row, "title": str(argument({"checklist": ["claim", row["kind"]]}, _texts(page)))}
            for row in spotted(ad.text, rules)
            if row["kind"] not in noted
        ]
        for ad in ads
    }
    photos = [sha256 for ad in ads for sha256 in ad.photos]
    photos += [sha256 for claim in claims for sha256 in claim.photos]
    return render_visit(
        page,
        "cars/ads.html",
        tab="claims",
        ads=ads[::-1],
        claims=claims,
        suggested=suggested,
        tellers=TELLERS,
        standings=STANDINGS,
        today=page.desk.today(),
        currency=cell_values.currency(snapshot.cells),
        missing=set(page.desk.photos_missing(photos)),
        checks={
            row["id"]: row["title"] for group in findings.checks(snapshot) for row in group["rows"]
        },
    )


def _texts(page: VisitPage) -> Mapping[str, Any]:
    return page.snapshot.texts.get("rules") or {}


def _claims(page: VisitPage) -> list[Claim]:
    return claims_of(page.snapshot.cells, page.snapshot.assessment, _texts(page))


@pages.post("/ad")
def keep_ad(posted: VisitForm) -> Response:
    name = new_id()
    uploads = photos_typed(posted.form, posted.problems)
    puts = ad_typed(posted, name)
    puts += keep_photos(posted, uploads, f"ads/{name}")
    return show_claims(posted) if posted.problems else posted.record(puts, "claims")


@pages.post("/price")
def note_price(posted: VisitForm) -> Response:
    """A price that changed; those before it stay."""
    ad = forms.text(posted.form, "ad", 40)
    if ad not in [one.id for one in ads_of(posted.snapshot.cells)]:
        raise stale(message("desk-claims-gone"))
    puts = price_typed(posted, ad, posted.desk.today())
    return show_claims(posted) if posted.problems else posted.record(puts, "claims")


@pages.post("/note")
def note_claim(posted: VisitForm) -> Response:
    """A claim that an ad was seen to make, or what somebody says in their words."""
    rules = posted.snapshot.bundle["rules"]
    words = forms.text(posted.form, "words", 400)
    kind = forms.text(posted.form, "kind", 80)
    known = [row["id"] for row in rules.get("claims") or ()]
    kinds = [kind] if kind in known else [row["kind"] for row in spotted(words, rules)]
    puts = claim_typed(posted, kinds)
    return show_claims(posted) if posted.problems else posted.record(puts, "claims")


@pages.post("/settle")
def settle_claim(posted: VisitForm) -> Response:
    """What became of a claim, with what proves it; or the claim taken back."""
    claim = _named(posted)
    if forms.is_ticked(posted.form, "remove"):
        start = f"claims/{claim.id}/"
        puts: Puts = []
        for path in posted.snapshot.cells:
            if path.startswith(start):
                puts += change_to(posted.snapshot, path, None)
        return posted.record(puts, "claims")
    uploads = photos_typed(posted.form, posted.problems)
    puts = state_typed(posted, claim.id, has_photo=bool(uploads or claim.photos))
    puts += keep_photos(posted, uploads, f"claims/{claim.id}")
    return show_claims(posted) if posted.problems else posted.record(puts, "claims")


def _named(posted: FormRequest) -> Claim:
    wanted = forms.text(posted.form, "claim", 40)
    for claim in _claims(posted):
        if claim.id == wanted:
            return claim
    raise stale(message("desk-claims-gone"))
