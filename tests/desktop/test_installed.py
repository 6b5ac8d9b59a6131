"""What is on the computer, and how it is removed again."""

from __future__ import annotations

from pathlib import Path

import pytest

from bradawl.cli import main
from bradawl.common.installation import program
from bradawl.common.settings import from_environment


@pytest.mark.parametrize(
    ("prefix", "origin", "expected"),
    [
        ("/home/a/.local/share/pipx/venvs/bradawl", None, "pipx uninstall bradawl"),
        ("/home/a/.local/share/uv/tools/bradawl", None, "uv tool uninstall bradawl"),
        ("/srv/shop/venv", None, "pip uninstall bradawl"),
        ("/srv/uv-shop/venv", None, "pip uninstall bradawl"),
        ("/srv/shop", '{"dir_info": {"editable": true}, "url": "file:///srv"}', "the checkout"),
    ],
)
def test_every_place_is_named_and_the_way_back_is_the_installers(
    prefix: str,
    origin: str | None,
    expected: str,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    monkeypatch.setenv("BRADAWL_DATA", str(tmp_path))
    monkeypatch.setattr(program.sys, "prefix", prefix)
    monkeypatch.setattr(program.metadata.PathDistribution, "read_text", lambda _self, _name: origin)
    assert main(["installed"]) == 0
    said = capsys.readouterr().out
    settings = from_environment()
    places = (settings.data, settings.keys, settings.chain_notes, settings.erased_list)
    assert all(str(place) in said for place in places)
    assert expected in said
