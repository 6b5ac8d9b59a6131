"""The operational log: what the server and the commands did, for whom, and what they refused.

Any part may import this. It needs the standard library alone, so it costs a start nothing.
"""

from bradawl.operations.context import Operation, current, identify, request_id
from bradawl.operations.notes import note

__all__ = ["Operation", "current", "identify", "note", "request_id"]
