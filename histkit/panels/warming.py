"""What every page needs is loaded before one is opened: by a kernel that waits (`shell.kernels`)."""

from __future__ import annotations

from importlib import import_module


def warm() -> None:
    """Load the panels, the glossary and what looks names up, by working out the invented formula once."""
    from histkit.keeping import example

    import_module("histkit.panels")
    example.record().table()
