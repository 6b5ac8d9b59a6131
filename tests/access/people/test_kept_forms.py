"""A sign-in that ended loses nothing that was typed, also without a script.

No source: what is asserted is what the pages promise. That nothing is sent by itself, and that a
form of another site is kept no more than it is carried out, follows OWASP ASVS 5.0, 3.5.1.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

import pytest
from fastapi.testclient import TestClient
from playwright.sync_api import Browser, Page, expect

from bradawl.access.network.form_filling import filled
from bradawl.access.people.kept_forms import KEPT_MS, MOST, KeptForm, KeptForms
from bradawl.common import settings
from bradawl.common.clock import now_ms
from bradawl.serving.app import create_app
from tests.access.conftest import PASSPHRASE
from tests.access.site import Site
from tests.browsing import launched, opened
from tests.desk.conftest import PHONE
from tests.fresh import furnished

VISIT = "c" * 32
BRIEF = f"/desk/visits/{VISIT}/brief"
WORK = f"/desk/visits/{VISIT}/work"
DAY_MS = 24 * 3600 * 1000
MAIN = '<!doctype html><html><main id="content">'
FORM = f"""{MAIN}
<details><summary>More &amp; more</summary>
<form method="post" action="/desk/x"><input type="hidden" name="entry" value="1">
<input name="a" value="old"></form>
<form method="post" action="/desk/x">
<input type="hidden" name="entry" value="2"><input type="hidden" name="a:seen" value="new">
<input name="a" value="new" required><input name="a" value="second">
<textarea name="note">as it was</textarea>
<select name="kind"><option value="p">Part</option>
<option value="l" selected>Labor</option></select>
<select name="state"><option selected>To find</option><option>Cut &amp; dried</option></select>
<input type="checkbox" name="tick" value="1" checked><input type="checkbox" name="tick" value="2">
<input type="radio" name="met" value="yes"><input type="radio" name="met" value="no" checked>
<input type="password" name="secret" value=""><button name="add" value="1">Save</button>
</form></details>
<form method="get" action="/desk/x"><input name="a" value="asked"></form></main></html>"""
SENT = [
    ("entry", "2"),
    ("a:seen", "old"),
    ("a", 'typed "<b>&'),
    ("a", "also"),
    ("note", "\n<script>1</script>"),
    ("kind", "p"),
    ("state", "Cut & dried"),
    ("tick", "2"),
    ("met", "yes"),
    ("secret", "leaked"),
]


def test_each_kind_of_field_gets_what_was_typed_and_nothing_else_changes() -> None:
    page = filled(FORM, "/desk/x", SENT, "Back <again>")
    note = '<div class="note" role="status"><p>Back &lt;again&gt;</p></div>'
    expected = (
        FORM.replace(MAIN, MAIN + note)
        .replace("<details>", "<details open>")
        .replace(
            '<form method="post" action="/desk/x">\n<input type="hidden" name="entry" value="2',
            '<form method="post" action="/desk/x" data-unsaved>\n'
            '<input type="hidden" name="entry" value="2',
        )
        .replace('name="a:seen" value="new"', 'name="a:seen" value="old"')
        .replace(
            'name="a" value="new" required',
            'name="a" required value="typed &quot;&lt;b&gt;&amp;"',
        )
        .replace('value="second"', 'value="also"')
        .replace(">as it was<", ">\n\n&lt;script&gt;1&lt;/script&gt;<")
        .replace('value="p">', 'value="p" selected>')
        .replace('value="l" selected>', 'value="l">')
        .replace("<option selected>To", "<option>To")
        .replace("<option>Cut", "<option selected>Cut")
        .replace('value="1" checked', 'value="1"')
        .replace('name="tick" value="2">', 'name="tick" value="2" checked>')
        .replace('value="no" checked', 'value="no"')
        .replace('value="yes">', 'value="yes" checked>')
    )
    assert page == expected


def test_a_page_without_the_form_says_so_and_is_as_it_was() -> None:
    for action, fields in (("/desk/y", SENT), ("/desk/x", [("entry", "3")])):
        page = filled(FORM, action, fields, "")
        assert page == FORM.replace(MAIN, MAIN + '<div class="note" role="status"><p></p></div>')


def kept(since_ms: int = 0, page: str = BRIEF) -> KeptForm:
    return KeptForm(page, page, [("budget", "1")], had_files=False, since_ms=since_ms)


def test_a_kept_form_is_one_person_s_in_one_browser_and_ends() -> None:
    now = [0]
    forms = KeptForms(lambda: now[0])
    forms.keep("browser", "ada", kept())
    forms.claim("browser", "bo", "session of bo")
    forms.claim("other browser", "ada", "session elsewhere")
    assert forms.of("session of bo") is None
    assert forms.of("session elsewhere") is None
    forms.moved("browser", "browser again")
    assert not forms.waits("browser")
    forms.claim("browser again", "ada", "session")
    assert forms.of("session") == kept()
    assert not forms.waits("browser again")
    forms.sent("session", "/desk/elsewhere")
    assert forms.of("session") == kept()
    forms.sent("session", BRIEF)
    assert forms.of("session") is None
    forms.keep("browser", "ada", kept())
    now[0] = KEPT_MS
    assert not forms.waits("browser")
    for number in range(MOST + 5):
        forms.keep(f"{number}", "ada", kept(KEPT_MS))
    assert sum(forms.waits(f"{number}") for number in range(MOST + 5)) == MOST


@pytest.fixture(scope="module")
def core(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Any]:
    app = create_app(settings.at(furnished(tmp_path_factory.mktemp("data"))))
    core = app.state.core
    core.app = app
    core.log.append(
        PHONE,
        VISIT,
        [("about/bundle", core.checklists.hash), ("car/make", "Testmobil"),
         ("about/currency", "USD"), ("items/brakes.front-pads/grade", {"grade": "major"})],
    )  # fmt: skip
    people = core.access.people
    for person, name in (
        (core.access.first_owner().id, "Ada"),
        (people.add("Bo", "inspector").id, "Bo"),
    ):
        people.accept(people.invite(person), name, PASSPHRASE, PASSPHRASE)
    yield core
    core.log.close()


def ended(core: Any) -> None:
    """A day passes for everybody's sign-in, and for nothing else."""
    core.access.sessions._clock = lambda: now_ms() + core.days * DAY_MS
    core.days += 1


@pytest.fixture
def days(core: Any) -> Any:
    core.days = getattr(core, "days", 1)
    return core


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    with launched() as running:
        yield running


@pytest.fixture
def page(browser: Browser, days: Any) -> Iterator[Page]:
    context = opened(browser, java_script_enabled=False, locale="en-US")
    with Site(days.app) as origin:
        one = context.new_page()
        one.goto(origin.replace("127.0.0.1", "localhost") + "/desk/sign-in?next=" + BRIEF)
        yield one
        context.close()


def sign_in(page: Page, name: str) -> None:
    page.fill("[name=name]", name)
    page.fill("[name=passphrase]", PASSPHRASE)
    page.click("main button")


def test_without_a_script_what_was_typed_comes_back_to_whoever_typed_it(
    page: Page, days: Any
) -> None:
    sign_in(page, "Ada")
    page.fill("[name=budget]", "4,321")
    held = len(days.log.events_of(VISIT))
    ended(days)
    page.click("main form[method=post] button:not(.second)")
    expect(page).to_have_url(re.compile(r"/desk/sign-in\?next="))
    assert "4,321" not in page.url
    assert "4321" not in page.url
    assert "what you typed is kept for half an hour" in page.inner_text("main")
    # somebody else signs in first, in the same browser
    sign_in(page, "Bo")
    assert page.url.endswith(BRIEF)
    assert "4,321" not in page.content()
    assert "What you typed is back" not in page.inner_text("main")
    page.goto(page.url.replace(BRIEF, "/desk/sign-in?next=" + BRIEF))
    sign_in(page, "Ada")
    assert page.url.endswith(BRIEF)
    assert "What you typed is back in its fields and not saved yet" in page.inner_text("main")
    assert page.input_value("[name=budget]") == "4,321"
    page.reload()
    assert page.input_value("[name=budget]") == "4,321"
    assert len(days.log.events_of(VISIT)) == held  # nothing was sent by itself
    page.click("main form[method=post] button:not(.second)")
    assert "What you typed is back" not in page.inner_text("main")
    written = [event["put"] for event in days.log.events_of(VISIT)[held:]]
    assert written == ["brief/budget"]


def test_a_form_of_another_site_a_passphrase_and_a_stranger_s_are_not_kept(days: Any) -> None:
    client = TestClient(days.app, base_url="https://localhost", client=("127.0.0.1", 50_000))
    own = {"Origin": "https://localhost", "Referer": f"https://localhost{BRIEF}"}
    sent = {"data": {"budget": "77"}, "follow_redirects": False}
    # nobody ever signed in here
    assert client.post(BRIEF, headers=own, **sent).status_code == 401
    answer = client.post(
        "/desk/sign-in",
        data={"name": "Ada", "passphrase": PASSPHRASE, "next": BRIEF},
        headers=own,
        follow_redirects=False,
    )
    assert answer.status_code == 303
    ended(days)
    elsewhere = own | {"Origin": "https://elsewhere.example"}
    assert client.post(BRIEF, headers=elsewhere, **sent).status_code == 403
    confirmed = client.post(
        "/desk/confirm", data={"passphrase": PASSPHRASE}, headers=own, follow_redirects=False
    )
    assert confirmed.status_code == 401
    assert "kept for half an hour" not in client.get("/desk/sign-in").text
    kept_now = client.post(BRIEF, headers=own, **sent)
    assert kept_now.headers["location"] == f"/desk/sign-in?next={BRIEF}"
    assert "kept for half an hour" in client.get("/desk/sign-in").text
    # more than a stranger may send is refused, as before
    large = client.post(BRIEF, headers=own, data={"budget": "7" * 70_000}, follow_redirects=False)
    assert large.status_code == 413
    # what a script sends is not a form, and it keeps its own
    typed = client.post(f"/desk/visits/{VISIT}/parts/changes", headers=own, json={"changes": []})
    assert typed.status_code == 401


def test_pages_of_the_desk_come_through_as_they_are(days: Any) -> None:
    client = TestClient(days.app, base_url="https://localhost", client=("127.0.0.1", 50_000))
    days.access.sessions._clock = now_ms
    client.post(
        "/desk/sign-in",
        data={"name": "Ada", "passphrase": PASSPHRASE},
        headers={"Origin": "https://localhost"},
    )
    for path in (BRIEF, WORK, f"/desk/visits/{VISIT}", f"/desk/visits/{VISIT}/plan", "/desk/board"):
        page = client.get(path).text
        assert page.count('<main id="content" tabindex="-1">') == 1, path
        note = '<div class="note" role="status"><p>x</p></div>'
        main = '<main id="content" tabindex="-1">'
        assert filled(page, "/none", [], "x") == page.replace(main, main + note), path
