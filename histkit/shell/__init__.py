"""The commands; each is one call into the package."""
