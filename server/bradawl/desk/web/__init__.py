"""What all pages of the desk use: forms, rendering, charts."""
