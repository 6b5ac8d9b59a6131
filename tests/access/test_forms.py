"""Nothing typed into a form of the desk, or sent in its place, breaks the server."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from fastapi.routing import iter_route_contexts
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

import bradawl
from bradawl.access.web.auth import DESK_COOKIE
from tests.access.network.test_abuse import VISIT, Whole, filled

#: Numbers where words belong, markup, control characters, other scripts, very long, nothing.
VALUES = st.one_of(
    st.sampled_from(
        ["", "0", "-1", "1e999", "NaN", "yes", VISIT, "condition", "../../x", "'", "{}"]
    ),
    st.text(max_size=40),
    st.just("x" * 5000),
)


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Whole]:
    one = Whole(tmp_path_factory.mktemp("forms"))
    one.core.log.append(
        "d9" * 16,
        VISIT,
        [("car/make", "Testa"), ("items/rust.sills/grade", "major"), ("about/seller", "Tilda")],
    )
    yield one
    one.core.close()


def forms(app: Any) -> list[tuple[str, tuple[str, ...], bool]]:
    """Path, fields and whether a file is among them, of every form of the desk."""
    found = []
    for context in iter_route_contexts(app.routes):
        path = context.path or ""
        if "POST" in (context.methods or ()) and path.startswith(("/desk", "/r/")):
            fields = context.dependant.body_params
            files = any("UploadFile" in str(field.field_info.annotation) for field in fields)
            found.append((path, tuple(field.name for field in fields), files))
    return sorted(found)


def names_in_templates() -> list[str]:
    """Every field that stands in a template, for forms whose fields no signature declares."""
    package = Path(bradawl.__file__).parent
    texts = [file.read_text(encoding="utf-8") for file in package.glob("*/templates/**/*.html")]
    return sorted({name for text in texts for name in re.findall(r'name="([\w.-]+)"', text)})


def test_no_form_of_the_desk_breaks_the_server(whole: Whole) -> None:
    owner = whole.core.access.first_owner()
    listed, names = forms(whole.app), names_in_templates()
    assert len(listed) > 30
    assert len(names) > 30
    anything = st.dictionaries(st.sampled_from(names), VALUES, max_size=12)
    broken: set[str] = set()

    @settings(max_examples=4, deadline=None, suppress_health_check=list(HealthCheck))
    @given(data=st.data())
    def send(data: st.DataObject) -> None:
        for path, fields, files in listed:
            client = whole.client()
            client.cookies.set(DESK_COOKIE, whole.core.access.sessions.begin(owner))
            form = {name: data.draw(VALUES, label=f"{path} {name}") for name in fields}
            form = form or data.draw(anything, label=path)
            wrong = data.draw(st.sampled_from([VISIT, "f" * 32, "x"]), label=path)
            upload = {"file": ("x.bin", form.pop("file", "x").encode(), "image/jpeg")}
            answer = client.post(filled(path, wrong), data=form, files=upload if files else None)
            if answer.status_code >= 500 and answer.status_code != 503:
                broken.add(f"{path} { {name: value[:40] for name, value in form.items()} }")

    send()
    assert not broken, "\n".join(sorted(broken))
