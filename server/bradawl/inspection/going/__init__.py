"""What is done before somebody goes to see a car: calls, look-ups."""
