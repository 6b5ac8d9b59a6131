"""From a complaint to its cause. The phone loads this room when somebody first opens it."""
