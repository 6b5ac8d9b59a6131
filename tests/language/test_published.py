"""No id of a message that a released version had comes to mean something else."""

from __future__ import annotations

from pathlib import Path

import pytest

from web.tools import published

FIRST = "desk-a = One { $count }\ndesk-b = Two\ndesk-c = Three\n"


def of(folder: Path, source: str) -> dict[str, published.Published]:
    (folder / "desk.ftl").write_text(source, encoding="utf-8")
    return published.catalogue(folder)


@pytest.mark.parametrize(
    ("second", "third", "refused"),
    [
        (FIRST, FIRST, []),
        (FIRST, FIRST + "desk-d = Four\n", []),
        (FIRST, "# said otherwise\ndesk-a = There is { $count }\ndesk-b = 2\n", []),
        (FIRST, FIRST.replace("$count", "$number"), ["desk-a was published with other arguments"]),
        # removed by the second release, and back in the third
        ("desk-b = Two\n", FIRST, []),
        ("desk-b = Two\n", FIRST.replace("Three", "Lug nuts"), ["desk-c was published, removed"]),
        ("desk-b = Two\n", FIRST.replace("One { $count }", "One"), ["desk-a was published with"]),
    ],
)
def test_an_id_once_published_is_not_reused(
    tmp_path: Path, second: str, third: str, refused: list[str]
) -> None:
    listed = published.released({}, of(tmp_path, FIRST))
    listed = published.released(listed, of(tmp_path, second))
    told = list(published.reused(listed, of(tmp_path, third)))
    assert len(told) == len(refused)
    assert all(one.startswith(start) for one, start in zip(told, refused, strict=True))


def test_a_release_writes_the_list_and_the_check_reads_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(published, "LIST", tmp_path / "published.json")
    assert published.main(["--check"]) == 0, "nothing is published yet"
    assert published.main(["--release"]) == 0
    text = published.LIST.read_text(encoding="utf-8")
    arguments = published.catalogue()["grade-none"]["arguments"]
    assert f'"grade-none": {{"arguments": "{arguments}"' in text
    published.LIST.write_text(text.replace(arguments, "otherwise"), encoding="utf-8")
    assert published.main(["--check"]) == 1
    assert "grade-none was published with other arguments" in capsys.readouterr().out
    assert published.main(["--release"]) == 1, "and a release does not pass over it"
