"""What the pages show, computed from snapshots; no routes."""
