"""Forms of the bargain: what is settled before, a price that was named, a car that is passed."""

from __future__ import annotations

from bradawl.desk.model.changes import Puts, change_to
from bradawl.desk.model.typed_values import FieldError, amount, day
from bradawl.desk.web import forms
from bradawl.desk.web.inputs.ads import new_id
from bradawl.desk.web.visit_page import FormRequest
from bradawl.inspection.offer.ads import ASKING
from bradawl.judge.ledger import life
from bradawl.judge.trouble.leaving import SHOWN, time_in
from bradawl.language import message, text

STATES = ("in_hand", "missing", "not_needed")
_DEPOSIT = "deal/deposit"


def deposit_typed(posted: FormRequest) -> Puts:
    """How much was paid down, when, until when and on what condition it comes back."""
    snapshot = posted.snapshot
    puts: Puts = []
    with posted.problems.of("deposit-amount"):
        typed = forms.text(posted.form, "deposit-amount", 20)
        paid = amount(typed, text("leaving-deposit-amount")) if typed else None
        puts += change_to(snapshot, f"{_DEPOSIT}/amount", paid)
    for field in ("date", "until"):
        with posted.problems.of(f"deposit-{field}"):
            typed = forms.date_text(posted.form, f"deposit-{field}")
            said = day(typed, text(f"leaving-deposit-{field}")) if typed else None
            puts += change_to(snapshot, f"{_DEPOSIT}/{field}", said)
    with posted.problems.of("deposit-refund"):
        words = forms.text(posted.form, "deposit-refund", 400)
        puts += change_to(snapshot, f"{_DEPOSIT}/refund", words or None)
    return puts


def paper_typed(posted: FormRequest, paper: str) -> Puts:
    """How a closing paper stands, and a note of it."""
    puts: Puts = []
    with posted.problems.of(f"paper-{paper}"):
        state = forms.text(posted.form, "state", 20)
        told = state if state in STATES else None
        puts += change_to(posted.snapshot, f"papers/{paper}/state", told)
        words = forms.text(posted.form, "note", 400)
        puts += change_to(posted.snapshot, f"papers/{paper}/note", words or None)
    return puts


def bargain_typed(posted: FormRequest) -> Puts:
    """Opening price, when to leave, and the reasons to name; what is left empty is taken back."""
    snapshot = posted.snapshot
    puts: Puts = []
    with posted.problems.of("opening"):
        typed = forms.text(posted.form, "opening", 20)
        opening = amount(typed, text("leaving-opening")) if typed else None
        puts += change_to(snapshot, "deal/opening", opening)
    with posted.problems.of("leave-by"):
        time = forms.text(posted.form, "leave-by", 10)
        if time and not time_in({"time": time}):
            raise FieldError(message("leaving-time-unread"))
        stands = snapshot.cells.get("deal/leave_by")
        shown = time_in(stands["value"]) if stands else ""
        if time != shown:
            value = {"date": posted.desk.today(), "time": time} if time else None
            puts += change_to(snapshot, "deal/leave_by", value)
    chosen = [one for one in posted.form.getlist("reason") if isinstance(one, str)][:SHOWN]
    puts += change_to(snapshot, "deal/reasons", chosen or None)
    return puts


def named_typed(posted: FormRequest) -> Puts:
    """A price beside those before it; one that is asked is what is asked from now on."""
    with posted.problems.of("price"):
        typed = forms.text(posted.form, "price", 20)
        if not typed:
            raise FieldError(message("leaving-price-missing"))
        named = amount(typed, text("leaving-price"))
        date = day(forms.date_text(posted.form, "date") or posted.desk.today(), text("leaving-day"))
        is_offer = forms.text(posted.form, "side", 10) == "offered"
        side = "offered" if is_offer else "asked"
        value = {"amount": named, "date": date, "time": "", "side": side}
        puts: Puts = [(f"deal/prices/{new_id()}", value)]
        return puts if is_offer else [*puts, (ASKING, named)]
    return []


def passed_typed(posted: FormRequest) -> Puts:
    """What would bring one back; the car stands as passed in its life too."""
    price, until = None, ""
    with posted.problems.of("pass-price"):
        if typed := forms.text(posted.form, "pass-price", 20):
            price = amount(typed, text("leaving-pass-price"))
    with posted.problems.of("pass-until"):
        if typed := forms.date_text(posted.form, "pass-until"):
            until = day(typed, text("leaving-pass-until"))
    with posted.problems.of("pass-why"):
        why = forms.text(posted.form, "pass-why", 400)
        if not posted.problems and price is None and not until and not why:
            raise FieldError(message("leaving-pass-empty"))
        today = posted.desk.today()
        value = {"date": today, "price": price, "why": why, "until": until}
        step = {"state": "passed", "date": today, "price_cents": None}
        return [(f"passed/{new_id()}", value), (life.PATH, step)]
    return []
