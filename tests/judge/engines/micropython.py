"""The judge under MicroPython, for tests and benchmarks: the sources the phone gets, in Node."""

from __future__ import annotations

import json
import os
import subprocess
from collections.abc import Mapping
from pathlib import Path
from types import TracebackType
from typing import Any, Self

from bradawl.serving.judge_files import judge_files

SCRIPT = Path(__file__).with_name("micropython.mjs")


class MicroPython:
    """A running MicroPython with the judge imported; use as a context manager."""

    def __init__(
        self, files: Mapping[str, str] | None = None, heap_bytes: int = 16 * 1024 * 1024
    ) -> None:
        self._process = subprocess.Popen(
            ["node", str(SCRIPT)],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
            encoding="utf-8",
            env={**os.environ, "JUDGE_HEAP_BYTES": str(heap_bytes)},
        )
        sources = judge_files() if files is None else files
        started = json.loads(self.ask_text(json.dumps({"files": dict(sources)})))
        if started != {"ready": True}:
            raise RuntimeError(f"the judge did not start under MicroPython: {started}")

    def ask_text(self, text: str) -> str:
        """One line in, one line out."""
        assert self._process.stdin is not None
        assert self._process.stdout is not None
        self._process.stdin.write(text + "\n")
        self._process.stdin.flush()
        return self._process.stdout.readline()

    def ask(self, question: Mapping[str, Any]) -> Any:
        """The judge's answer; raw UTF-8 goes over, as the phone sends it."""
        return json.loads(self.ask_text(json.dumps(question, ensure_ascii=False)))

    def close(self) -> None:
        """End the process."""
        assert self._process.stdin is not None
        assert self._process.stdout is not None
        self._process.stdin.close()
        self._process.wait(timeout=60)
        self._process.stdout.close()

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.close()
