"""The small cupboard in the place of the glossary, for the tests that ask for it."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from bench_ingredients import as_glossary


@pytest.fixture(scope="module")
def cupboard() -> Iterator[None]:
    with as_glossary():
        yield
