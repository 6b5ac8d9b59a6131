"""Each fuzz target (tests/fuzz) in a box of time; ends with an error where one broke.

`BRADAWL_FUZZ_SECONDS` says how long each: 60 without it.
"""

from __future__ import annotations

from tests.bench.measuring.figures import count, write
from tests.fuzz.box import TARGETS, run


def main() -> None:
    seconds = count("BRADAWL_FUZZ_SECONDS", 60)
    tallies = [run(name, seconds=seconds) for name in TARGETS]
    write(
        "fuzz",
        [
            {"what": one.name, "cases": one.cases, "seconds": seconds, "broken": one.broken or 0}
            for one in tallies
        ],
    )
    if any(one.broken for one in tallies):
        raise SystemExit("\n".join(str(one) for one in tallies))


if __name__ == "__main__":
    main()
