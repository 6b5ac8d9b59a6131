"""Letters on a line: faces, directions, where a line may end, paragraphs."""
