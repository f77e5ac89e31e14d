"""A maker's choices as files."""
