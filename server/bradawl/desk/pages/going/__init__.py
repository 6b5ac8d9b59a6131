"""The page of what is done before somebody goes to see a car, and its papers."""
