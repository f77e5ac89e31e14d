"""Formula → Translation: what a printed amount weighs, and why."""
