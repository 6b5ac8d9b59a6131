"""The plan of work: built from the record, changed by sheets, written to and read from files."""
