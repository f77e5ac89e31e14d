"""Printed words → Formula. The public verbs are `read` and `separate`; each stage is a module and can be tried alone."""

from histkit.reading.reader import LONGEST, MOST_TOKENS, read, separate

__all__ = ["LONGEST", "MOST_TOKENS", "read", "separate"]
