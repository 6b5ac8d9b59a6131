"""One file with everything that people recorded: made, proven by a restore, and put back."""
