"""Every shape that travels through the judge: record, rules, assessment, work, diagnosis.

Types only: nothing imports this package while running, and it never travels to the phone. The JSON
Schema and the phone's TypeScript types are generated from it (`web/tools/contract.py`), so a change
here is a change of the contract. Optional keys are `NotRequired`; amounts are whole units of the
visit's currency; figures are texts as they were typed, so that nothing is rounded.
"""

from .assessment import *  # noqa: F403
from .bundle import *  # noqa: F403
from .diagnosis import *  # noqa: F403
from .driving import *  # noqa: F403
from .leaving import *  # noqa: F403
from .ledger import *  # noqa: F403
from .offer import *  # noqa: F403
from .prices import *  # noqa: F403
from .record import *  # noqa: F403
from .rules import *  # noqa: F403
from .said import *  # noqa: F403
from .terms import *  # noqa: F403
from .wants import *  # noqa: F403
from .work import *  # noqa: F403
