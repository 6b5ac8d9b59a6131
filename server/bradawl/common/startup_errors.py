"""Why Bradawl cannot start, as a sentence for whoever started it."""


class StartError(Exception):
    """Bradawl cannot work with what it finds; the message says what, where and what would help."""
