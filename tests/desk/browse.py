"""Reads the forms of a page as a browser would send them, so that tests post what a page offers."""

from __future__ import annotations

from html.parser import HTMLParser


class _Forms(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.forms: list[tuple[str, list[tuple[str, str]]]] = []
        self._select = ""
        self._first: str | None = None
        self._chosen: str | None = None
        self._option: str | None = None
        self._selected = False
        self._textarea = ""
        self._text = ""

    def _put(self, name: str, value: str) -> None:
        if self.forms and name:
            self.forms[-1][1].append((name, value))

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        values = {name: value or "" for name, value in attrs}
        if tag == "form":
            self.forms.append((values.get("action", ""), []))
        elif tag == "input":
            kind = values.get("type", "text")
            if kind in ("checkbox", "radio") and "checked" not in values:
                return
            if kind not in ("submit", "button", "file"):
                self._put(values.get("name", ""), values.get("value", ""))
        elif tag == "select":
            self._select, self._chosen, self._first = values.get("name", ""), None, None
        elif tag == "option":
            self._option = values.get("value")
            self._selected = "selected" in values
            self._text = ""
        elif tag == "textarea":
            self._textarea, self._text = values.get("name", ""), ""

    def handle_data(self, data: str) -> None:
        self._text += data

    def handle_endtag(self, tag: str) -> None:
        if tag == "option":
            value = self._text.strip() if self._option is None else self._option
            if self._selected:
                self._chosen = value
            if self._first is None:
                self._first = value
        elif tag == "select":
            chosen = self._first if self._chosen is None else self._chosen
            self._put(self._select, chosen or "")
        elif tag == "textarea":
            self._put(self._textarea, self._text.removeprefix("\n"))


def forms_of(page: str) -> list[tuple[str, list[tuple[str, str]]]]:
    """Every form of a page: where it is sent, and its fields as (name, value)."""
    reader = _Forms()
    reader.feed(page)
    return reader.forms


def form(page: str, action: str, nth: int = 0) -> dict[str, str | list[str]]:
    """The fields that the `nth` form with this action would send if nobody changed anything."""
    reader = _Forms()
    reader.feed(page)
    fields = [fields for address, fields in reader.forms if address == action][nth]
    sent: dict[str, str | list[str]] = {}
    for name, value in fields:
        if name in sent:
            before = sent[name]
            sent[name] = [*(before if isinstance(before, list) else [before]), value]
        else:
            sent[name] = value
    return sent
