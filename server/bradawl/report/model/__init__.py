"""What a report says; nothing here draws."""
