"""Phones: pairing, the list of them, what they have seen that is not here."""
