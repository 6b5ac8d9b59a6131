"""`python -m tests.fuzz [TARGET …] [--seconds 60] [--from CASE]`: each target for so long.

A case is made from its number alone: `python -m tests.fuzz events --from 4711 --seconds 0` runs
that one again.
"""

from __future__ import annotations

import argparse
import sys

from tests.fuzz.box import TARGETS, run


def main() -> int:
    parser = argparse.ArgumentParser(prog="python -m tests.fuzz", description=__doc__)
    parser.add_argument("targets", nargs="*", metavar="TARGET", default=list(TARGETS))
    parser.add_argument("--seconds", type=float, default=60, help="for each target")
    parser.add_argument("--from", dest="first", type=int, default=0, metavar="CASE")
    chosen = parser.parse_args()
    broken = 0
    for name in chosen.targets:
        tally = run(name, seconds=chosen.seconds, first=chosen.first)
        print(tally)
        broken += tally.broken is not None
    return 1 if broken else 0


if __name__ == "__main__":
    sys.exit(main())
