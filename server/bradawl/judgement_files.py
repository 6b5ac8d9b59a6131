"""The judge's sources as the phone loads them: the same files, by the path they have there."""

from __future__ import annotations

from importlib.resources import files

NOT_SERVED = ("shapes.py",)  # types only: never imported while running


def judge_files() -> dict[str, str]:
    """Source text by path in the phone's file system.

    `judgement/*.py` and, at the top, the stubs that MicroPython needs (`typing.py`,
    `__future__.py`). `import judgement; judgement.ask(text)` is the way in.
    """
    package = files("bradawl.judgement")
    sources = {}
    for entry in package.iterdir():
        if entry.name.endswith(".py") and entry.name not in NOT_SERVED:
            sources[f"judgement/{entry.name}"] = entry.read_text(encoding="utf-8")
    for entry in package.joinpath("stubs").iterdir():
        if entry.name.endswith(".py"):
            sources[entry.name] = entry.read_text(encoding="utf-8")
    return dict(sorted(sources.items()))
