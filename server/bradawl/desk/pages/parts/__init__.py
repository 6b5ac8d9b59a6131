"""The pages of a car's parts: the sheet, one line as a form."""
