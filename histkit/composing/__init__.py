"""Shares of a mass: replacing, blends, and what a change does."""
