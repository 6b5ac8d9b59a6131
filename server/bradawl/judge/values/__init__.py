"""Numbers, units, dates and words that both engines treat alike."""
