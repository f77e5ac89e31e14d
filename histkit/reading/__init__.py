"""Printed words → Formula. The public verbs are `read` and `separate`; each stage is a module and can be tried alone."""

from histkit.reading.reader import LONGEST, read, separate

__all__ = ["LONGEST", "read", "separate"]
