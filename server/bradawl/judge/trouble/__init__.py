"""From a complaint to its cause, and the hours around the visit: a phone loads it when asked."""
