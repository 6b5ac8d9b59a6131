"""What may be written in the checklist files, as pydantic models."""
