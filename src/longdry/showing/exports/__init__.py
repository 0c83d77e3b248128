"""The plan in formats for other programs."""
