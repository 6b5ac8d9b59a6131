"""What an event, a batch, a stamp and a row are."""
