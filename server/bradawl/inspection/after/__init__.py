"""What follows the visit: the way home."""
