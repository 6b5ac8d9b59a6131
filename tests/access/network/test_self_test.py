"""The self-test says of each of the six things whether it is right, and what is missing if not."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, expect

from bradawl.common import settings
from bradawl.serving.app import create_app
from tests.access.site import Site
from tests.access.walking import SIZE, serving
from tests.browsing import FAKE_CAMERA, WHOLE_CHROMIUM, launched, opened
from tests.fresh import furnished

STEPS = ["reached", "trusted", "offline", "kept", "camera", "installed"]
IPHONE = (
    "Mozilla/5.0 (iPhone; CPU iPhone OS 18_6 like Mac OS X) AppleWebKit/605.1.15 (KHTML, like "
    "Gecko) Version/26.0 Mobile/15E148 Safari/604.1"
)


@pytest.fixture(scope="module")
def origin(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """On this machine, which a browser trusts without a certificate."""
    with Site(create_app(settings.at(furnished(tmp_path_factory.mktemp("data"))))) as here:
        yield here.replace("127.0.0.1", "localhost")


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    # nobody has allowed it yet, which a browser without a window's parts cannot ask for
    with launched(FAKE_CAMERA, executable_path=WHOLE_CHROMIUM) as browser:
        yield browser


@pytest.fixture
def phone(browser: Browser) -> Iterator[Callable[..., BrowserContext]]:
    contexts: list[BrowserContext] = []

    def make(**options: object) -> BrowserContext:
        contexts.append(opened(browser, viewport=SIZE, **options))
        return contexts[-1]

    yield make
    for one in contexts:
        one.close()


def verdict(page: Page, step: str, word: str, why: str = "") -> None:
    expect(page.locator(f"#{step} .verdict")).to_have_text(word)
    if why:
        expect(page.locator(f"#{step} .why")).to_contain_text(why)


def test_all_six_are_right_in_an_app_on_the_home_screen(
    phone: Callable[..., BrowserContext], origin: str
) -> None:
    context = phone()
    context.grant_permissions(["camera"], origin=origin)
    page = context.new_page()
    # What only an installed app is told, in the words of Safari on iOS, and a promise that no
    # browser without a window gives.
    page.add_init_script(
        """Object.defineProperty(navigator, "standalone", {value: true});
           StorageManager.prototype.persisted = async () => true;"""
    )
    page.goto(f"{origin}/app/check")
    page.get_by_role("button", name="Try the camera").click()
    for step in STEPS:
        verdict(page, step, "OK")
    expect(page.locator("#sum")).to_have_text("All six are OK: this phone is ready.")
    verdict(page, "installed", "OK", "opened from the home screen")


def test_a_server_out_of_reach_is_what_is_missing(
    phone: Callable[..., BrowserContext], origin: str
) -> None:
    page = phone().new_page()
    page.route("**/hello/ping", lambda route: route.abort())
    page.goto(f"{origin}/hello/check")
    verdict(page, "reached", "missing", "Wi-Fi")
    for step in ("trusted", "offline"):
        verdict(page, step, "open", "once the shop is reached")


def test_a_warning_that_was_only_skipped_is_told_from_trust(
    phone: Callable[..., BrowserContext], tmp_path: Path
) -> None:
    with serving(tmp_path) as server:
        context = phone(ignore_https_errors=True)
        page = context.new_page()
        page.goto(f"https://localhost:{server.port}/hello/check")
        verdict(page, "reached", "OK")
        verdict(page, "trusted", "missing", "only skipped")
        verdict(page, "offline", "missing", "only from an address it trusts")
        context.close()


def test_a_browser_without_service_workers_is_told_what_to_use(
    phone: Callable[..., BrowserContext], origin: str
) -> None:
    page = phone().new_page()
    page.add_init_script("delete Navigator.prototype.serviceWorker;")
    page.goto(f"{origin}/hello/check")
    verdict(page, "offline", "missing", "not a private tab")


def test_an_app_that_could_not_be_stored_says_why(
    phone: Callable[..., BrowserContext], origin: str
) -> None:
    page = phone().new_page()
    page.add_init_script(
        """ServiceWorkerContainer.prototype.register = () =>
             Promise.reject(new TypeError("No room is left."));"""
    )
    page.goto(f"{origin}/hello/check")
    verdict(page, "trusted", "OK")
    verdict(page, "offline", "missing", "couldn't be saved: No room is left.")


def test_storage_that_is_not_promised_is_said_with_the_room_there_is(
    phone: Callable[..., BrowserContext], origin: str
) -> None:
    page = phone().new_page()
    page.goto(f"{origin}/hello/check")
    verdict(page, "kept", "missing", "send what you record the same day")
    expect(page.locator("#kept .why")).to_contain_text("MB free")


def test_a_camera_that_is_not_allowed_or_not_there_is_said(
    phone: Callable[..., BrowserContext], origin: str
) -> None:
    page = phone().new_page()
    page.goto(f"{origin}/hello/check")
    page.get_by_role("button", name="Try the camera").click()
    verdict(page, "camera", "missing", "Allow the camera for this address")
    page.evaluate(
        """() => { MediaDevices.prototype.getUserMedia = () =>
             Promise.reject(new DOMException("none", "NotFoundError")); }"""
    )
    page.get_by_role("button", name="Try the camera").click()
    verdict(page, "camera", "missing", "This device has no camera.")


@pytest.mark.parametrize(("agent", "part"), [(IPHONE, "Open as Web App"), (None, "Install app")])
def test_how_to_install_is_said_in_the_words_of_the_phone(
    phone: Callable[..., BrowserContext], origin: str, agent: str | None, part: str
) -> None:
    page = phone(user_agent=agent).new_page()
    page.goto(f"{origin}/hello/check")
    verdict(page, "installed", "missing", part)


def test_the_worker_of_the_app_does_not_answer_for_the_self_test(
    phone: Callable[..., BrowserContext], origin: str
) -> None:
    page = phone().new_page()
    page.goto(f"{origin}/app/")
    page.evaluate("navigator.serviceWorker.ready.then(() => true)")
    page.reload()
    assert page.evaluate("navigator.serviceWorker.controller !== null")
    page.goto(f"{origin}/app/check")
    expect(page.get_by_role("heading", name="Is this phone ready?")).to_be_visible()
