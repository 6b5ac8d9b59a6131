"""What the pages show, computed from snapshots; knows no form, no request and no template."""
