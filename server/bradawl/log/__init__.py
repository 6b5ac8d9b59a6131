"""The event log and its photos: what was acknowledged is kept exactly once, for ever."""
