"""Whether everything that was acknowledged is still there, whole."""
