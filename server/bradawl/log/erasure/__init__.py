"""Values that are deleted for good."""
