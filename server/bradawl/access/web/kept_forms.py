"""A form that was sent after its sign-in had ended: kept, and back in its page after the next one.

It is never sent by itself: the page shows what was typed, and the person presses its button again.
"""

from __future__ import annotations

from collections.abc import Callable
from urllib.parse import quote, urlsplit

from anyio import to_thread
from starlette.datastructures import UploadFile
from starlette.formparsers import MultiPartException
from starlette.requests import Request
from starlette.responses import RedirectResponse
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from bradawl.access.network.form_filling import filled
from bradawl.access.people.kept_forms import KeptForm, KeptForms
from bradawl.access.web.rendering import safe_next
from bradawl.language import text

__all__ = ["KeptFormsGate"]

#: Where a passphrase is typed: nothing of it is ever kept.
GATES = ("/desk/sign-in", "/desk/sign-out", "/desk/confirm", "/desk/first", "/desk/passphrase")
_FORMS = ("application/x-www-form-urlencoded", "multipart/form-data")
MOST_FIELDS = 2_000


class KeptFormsGate:
    """ASGI middleware of the desk, within the limits of what a stranger may send.

    `session_of` names the session of a request; `whose` (browser, person) of a form whose sign-in
    has ended, None for every other; `clock` gives milliseconds.
    """

    def __init__(
        self,
        app: ASGIApp,
        *,
        forms: KeptForms,
        session_of: Callable[[Request], str],
        whose: Callable[[Request], tuple[str, str] | None],
        clock: Callable[[], int],
    ) -> None:
        self._app = app
        self._forms = forms
        self._session_of = session_of
        self._whose = whose
        self._clock = clock

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        path = scope.get("path", "")
        if scope["type"] != "http" or not path.startswith("/desk/") or path in GATES:
            await self._app(scope, receive, send)
            return
        request = Request(scope, receive)
        if scope["method"] == "GET":
            form = self._forms.of(self._session_of(request))
            if form is not None and form.page == path:
                await self._show(form, scope, receive, send)
                return
        elif scope["method"] == "POST" and _is_form(request):
            whose = await to_thread.run_sync(self._whose, request)
            if whose is not None:
                answer = await self._keep(request, *whose)
                await answer(scope, receive, send)
                return
        await self._app(scope, receive, send)

    async def _keep(self, request: Request, browser: str, person_id: str) -> ASGIApp:
        page = urlsplit(request.headers.get("referer", "")).path
        page = page if safe_next(page) == page else request.url.path
        try:
            async with request.form(max_fields=MOST_FIELDS) as form:
                pairs = form.multi_items()
        except MultiPartException:
            return RedirectResponse(_sign_in(page), 303)
        kept = KeptForm(
            page=page,
            action=request.url.path,
            fields=[
                (name, value)
                for name, value in pairs
                if isinstance(value, str) and not _is_secret(name)
            ],
            had_files=any(isinstance(value, UploadFile) and value.size for _, value in pairs),
            since_ms=self._clock(),
        )
        self._forms.keep(browser, person_id, kept)
        return RedirectResponse(_sign_in(page), 303)

    async def _show(self, form: KeptForm, scope: Scope, receive: Receive, send: Send) -> None:
        """The page with what was typed in its form; any other answer as it is."""
        start: Message = {}
        body = b""

        async def hold(message: Message) -> None:
            nonlocal start, body
            if message["type"] == "http.response.start":
                start = message
                return
            body += message.get("body", b"")
            if message.get("more_body"):
                return
            kinds = [value for name, value in start["headers"] if name.lower() == b"content-type"]
            answer = body
            if start["status"] == 200 and kinds and kinds[0].startswith(b"text/html"):
                note = text("access-kept-form")
                if form.had_files:
                    note += " " + text("access-kept-form-files")
                answer = filled(body.decode(), form.action, form.fields, note).encode()
            start["headers"] = [
                (name, str(len(answer)).encode() if name.lower() == b"content-length" else value)
                for name, value in start["headers"]
            ]
            await send(start)
            await send({"type": "http.response.body", "body": answer})

        await self._app(scope, receive, hold)


def _is_form(request: Request) -> bool:
    return request.headers.get("content-type", "").partition(";")[0].strip().lower() in _FORMS


def _is_secret(name: str) -> bool:
    return "passphrase" in name or name in ("again", "token", "code")


def _sign_in(page: str) -> str:
    return f"/desk/sign-in?next={quote(page, safe='/')}"
