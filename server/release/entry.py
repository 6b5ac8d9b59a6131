"""What the single file starts: `bradawl`, or one of its own modules as `-m MODULE` would.

Bradawl starts parts of itself as processes of their own by `sys.executable -m MODULE`. Where one
file holds program and Python, `sys.executable` is that file, so it has to know this one way, too.
"""

from __future__ import annotations

import runpy
import sys
from collections.abc import Sequence

#: Python's own options that our commands use and that change nothing here: the path is fixed.
IGNORED = ("-P",)
OWN = "bradawl."


def module_of(arguments: Sequence[str]) -> tuple[str, list[str]] | None:
    """The module and its arguments, of `[-P] -m MODULE …`; None for a command of Bradawl's.

    Only modules of Bradawl are started like that: the file is no Python for anything else.
    """
    rest = list(arguments)
    while rest and rest[0] in IGNORED:
        rest = rest[1:]
    if len(rest) < 2 or rest[0] != "-m" or not rest[1].startswith(OWN):
        return None
    return rest[1], rest[2:]


def main() -> int:
    """Run what the arguments say; the exit code."""
    wanted = module_of(sys.argv[1:])
    if wanted is not None:
        module, arguments = wanted
        sys.argv = [module, *arguments]
        runpy.run_module(module, run_name="__main__", alter_sys=True)
        return 0
    from bradawl.cli import main as command

    return command()


if __name__ == "__main__":
    sys.exit(main())
