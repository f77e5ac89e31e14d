"""What every page needs is loaded before one is opened: by a kernel that waits (`shell.kernels`)."""

from __future__ import annotations


def warm() -> None:
    """Load the panels, the glossary and what looks names up, by working out the invented formula once."""
    from histkit import panels as panels
    from histkit.keeping import example

    example.record().table()
