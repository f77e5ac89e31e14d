"""The one list of caches that hold results of the glossary's tables, so that a change of the tables can empty them all."""

from __future__ import annotations

from typing import Protocol, TypeVar


class _Clearable(Protocol):
    def cache_clear(self) -> None: ...


_Cached = TypeVar("_Cached", bound=_Clearable)
_followers: list[_Clearable] = []


def follows_the_tables(cached: _Cached) -> _Cached:
    """Decorates a cached function, in any room, whose results come from the tables: `glossary.use` empties its cache."""
    _followers.append(cached)
    return cached


def forget_the_tables() -> None:
    """Empty every cache that holds results of the tables."""
    for cached in _followers:
        cached.cache_clear()
