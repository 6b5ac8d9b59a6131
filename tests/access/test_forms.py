"""Nothing typed into a form of the desk, or sent in its place, breaks the server."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from fastapi.routing import iter_route_contexts
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from bradawl.access import DESK_COOKIE
from tests.access.test_abuse import VISIT, Whole, filled

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


def test_no_form_of_the_desk_breaks_the_server(whole: Whole) -> None:
    owner = whole.core.access.first_owner()
    listed = forms(whole.app)
    assert len(listed) > 30
    broken: set[str] = set()

    @settings(max_examples=4, deadline=None, suppress_health_check=list(HealthCheck))
    @given(data=st.data())
    def send(data: st.DataObject) -> None:
        for path, fields, files in listed:
            client = whole.client()
            client.cookies.set(DESK_COOKIE, whole.core.access.sessions.begin(owner))
            form = {name: data.draw(VALUES, label=f"{path} {name}") for name in fields}
            wrong = data.draw(st.sampled_from([VISIT, "f" * 32, "x"]), label=path)
            upload = {"file": ("x.bin", form.pop("file", "x").encode(), "image/jpeg")}
            answer = client.post(filled(path, wrong), data=form, files=upload if files else None)
            if answer.status_code >= 500 and answer.status_code != 503:
                broken.add(f"{path} {form}"[:300])

    send()
    assert not broken, "\n".join(sorted(broken))
