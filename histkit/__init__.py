"""histkit."""
