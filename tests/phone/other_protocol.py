"""`python -m tests.phone.other_protocol N serve …`: Bradawl as it would be with protocol N.

Only the number is another one. It is set before anything else has read it.
"""

from __future__ import annotations

import sys

from bradawl.log.format import batches
from bradawl.serving import offline


def main() -> int:
    number = int(sys.argv.pop(1))
    batches.PROTOCOL = number
    offline.PROTOCOL = number
    from bradawl.cli import main as bradawl

    return bradawl(sys.argv[1:])


if __name__ == "__main__":
    sys.exit(main())
