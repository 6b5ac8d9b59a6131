"""The forms of what is done before somebody goes to see a car."""
