"""`python -m tests.world --seeds N [--from SEED]`: live through N worlds, one line at the end."""

from __future__ import annotations

import argparse
import sys
import time

from tests.world.look import InvariantError
from tests.world.many import live


def main() -> int:
    parser = argparse.ArgumentParser(prog="python -m tests.world", description=__doc__)
    parser.add_argument("--seeds", type=int, default=200)
    parser.add_argument("--from", dest="first", type=int, default=0, metavar="SEED")
    parser.add_argument("--hostile", action="store_true", help="a hostile phone in every world")
    chosen = parser.parse_args()
    began = time.monotonic()
    try:
        tally = live(
            range(chosen.first, chosen.first + chosen.seeds), hostile=chosen.hostile or None
        )
    except InvariantError as error:
        print(f"{error}\nAgain: python -m tests.world --seeds 1 --from SEED", file=sys.stderr)
        return 1
    print(f"{time.monotonic() - began:.0f} s", file=sys.stderr)
    print(tally)
    return 0


if __name__ == "__main__":
    sys.exit(main())
