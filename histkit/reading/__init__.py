"""Printed words → Formula. The one public verb is `read`; each stage is a module of its own and can be tried alone."""

from histkit.reading.reader import LONGEST, read

__all__ = ["LONGEST", "read"]
