"""The desk that the panels share, empty and with a formula of the maker's own on it."""

import pytest
from panels_without_browser import FORMULA

from histkit.keeping.records import Record
from histkit.panels.state import Desk


@pytest.fixture
def desk(tmp_path):
    return Desk(tmp_path / "my-formula.json")


@pytest.fixture
def own(desk):
    """A formula of the maker's own, white lead in it."""
    desk.begin(Record(text=FORMULA))
    return desk
