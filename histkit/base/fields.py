"""Frozen dataclasses from JSON and their JSON Schema, both out of the same fields, so that the two cannot drift apart.

A field made with `kept` says in words what it is and between which bounds its numbers lie. `check` holds a made object to
them, `decode` makes an object from parsed JSON and says where and how an entry does not fit, `schema` describes the same as a
JSON Schema (draft 2020-12). Nothing of a file is ever run; an entry that no field asks for is an error, not ignored.
"""

from __future__ import annotations

import dataclasses
import math
import types
from collections.abc import Hashable, Iterator, Mapping
from functools import cache
from typing import Any, TypeVar, Union, get_args, get_origin, get_type_hints

from histkit.base.checking import is_number
from histkit.base.errors import BadValue, quoted

T = TypeVar("T")
DRAFT = "https://json-schema.org/draft/2020-12/schema"

_KEYWORDS = {"least": "minimum", "above": "exclusiveMinimum", "most": "maximum", "below": "exclusiveMaximum"}
_WORDS = {"least": "{:g} or more", "above": "above {:g}", "most": "at most {:g}", "below": "below {:g}"}
_FITS = {
    "least": lambda value, bound: value >= bound,
    "above": lambda value, bound: value > bound,
    "most": lambda value, bound: value <= bound,
    "below": lambda value, bound: value < bound,
}

MISSING = dataclasses.MISSING


def kept(default: Any, about: str, *, choices: tuple[str, ...] = (), **bounds: float) -> Any:
    """A field of a dataclass: its default, what it is in words, and bounds for its numbers ("least", "above", "most", "below").

    `default` may be a function without arguments that makes it (`tuple` and other classes count as such). `choices` are the
    words that a text may be.
    """
    metadata = {"about": about, "bounds": bounds, "choices": choices}
    if callable(default):
        return dataclasses.field(default_factory=default, metadata=metadata)
    if default is MISSING:
        return dataclasses.field(metadata=metadata)
    return dataclasses.field(default=default, metadata=metadata)


def check(checked: Any) -> None:
    """Raises BadValue where a number of this dataclass object lies out of the bounds of its field, or a word is
    none of its choices."""
    for field in dataclasses.fields(checked):
        bounds: Mapping[str, float] = field.metadata.get("bounds", {})
        choices: tuple[str, ...] = field.metadata.get("choices", ())
        value = getattr(checked, field.name)
        if choices and value is not None and value not in choices:
            raise BadValue(f"{field.metadata['about']} is one of {', '.join(choices)}; not {quoted(value)}")
        for number in _numbers(value) if bounds else ():
            if not is_number(number) or not all(_FITS[key](number, bound) for key, bound in bounds.items()):
                raise BadValue(f"{field.metadata['about']} is {_range_words(bounds)}, not {quoted(number)}")


def _range_words(bounds: Mapping[str, float]) -> str:
    return "a number " + " and ".join(_WORDS[key].format(bound) for key, bound in bounds.items())


def _numbers(value: Any) -> Iterator[Any]:
    """Everything in a value that ought to be a number: itself, or the figures of pairs and lists; text in a pair is a name."""
    if isinstance(value, tuple):
        for entry in value:
            yield from (figure for figure in _numbers(entry) if not (isinstance(figure, str) and isinstance(entry, str)))
    elif value is not None:
        yield value


def decode(hint: Any, value: Any, where: str) -> Any:
    """`value`, as JSON gave it, in the type that `hint` asks for.

    `where` leads to it in words ('weighing.grams'). Raises BadValue where it does not fit, naming where, what was wanted and
    what was found.
    """
    origin = get_origin(hint)
    if dataclasses.is_dataclass(hint) and isinstance(hint, type):
        return _object(hint, value, where)
    if origin in (Union, types.UnionType):
        return _one_of(get_args(hint), value, where)
    if origin is tuple:
        return _list(get_args(hint), value, where)
    if hint is bool:
        if not isinstance(value, bool):
            raise _misfit(where, "true or false", value)
        return value
    if hint is str:
        return _text(value, where)
    if hint is float or hint is int:
        return _number(hint, value, where)
    raise TypeError(f"{where}: no way to read {hint!r}")  # a mistake in the dataclass, not in the file


@cache
def _hints(kind: Hashable) -> dict[str, Any]:
    return get_type_hints(kind)


def _misfit(where: str, wanted: str, value: Any) -> BadValue:
    return BadValue(f"{where} should be {wanted}, not {quoted(value)}")


def _text(value: Any, where: str) -> str:
    if not isinstance(value, str):
        raise _misfit(where, "text", value)
    try:
        value.encode("utf-8")
    except UnicodeEncodeError as error:
        raise BadValue(f"{where} holds half of a character at place {error.start + 1}, which cannot be saved as UTF-8") from None
    return value


def _number(hint: type, value: Any, where: str) -> int | float:
    wanted = "a whole number" if hint is int else "a number"
    if isinstance(value, bool) or not isinstance(value, (int, float)):
        raise _misfit(where, wanted, value)
    try:
        figure = float(value)
    except OverflowError:
        raise BadValue(f"{where} is a number too large to work with") from None
    if not math.isfinite(figure) or (hint is int and figure != int(figure)):
        raise _misfit(where, wanted, value)
    return int(value) if hint is int else figure


def _list(hints: tuple[Any, ...], value: Any, where: str) -> tuple[Any, ...]:
    if not isinstance(value, (list, tuple)):
        raise _misfit(where, "a list", value)
    if len(hints) == 2 and hints[1] is Ellipsis:
        return tuple(decode(hints[0], entry, f"{where}[{number}]") for number, entry in enumerate(value, start=1))
    if len(value) != len(hints):
        raise _misfit(where, f"a list of {len(hints)} entries", value)
    return tuple(decode(hint, entry, f"{where}[{n}]") for n, (hint, entry) in enumerate(zip(hints, value, strict=True), start=1))


def _one_of(hints: tuple[Any, ...], value: Any, where: str) -> Any:
    """The first of the types that fits; where none does, the complaint of the one that looks most like it."""
    if value is None and type(None) in hints:
        return None
    open_hints = [hint for hint in hints if hint is not type(None)]
    shaped = [h for h in open_hints if (get_origin(h) is tuple) == isinstance(value, (list, tuple))] or open_hints
    complaint: BadValue | None = None
    for hint in shaped:
        try:
            return decode(hint, value, where)
        except BadValue as error:
            complaint = complaint or error
    assert complaint is not None
    raise complaint


def _object(kind: type[T], value: Any, where: str, *, also: tuple[str, ...] = ()) -> T:
    if not isinstance(value, Mapping):
        raise _misfit(where, "an object in braces", value)
    fields = {field.name: field for field in dataclasses.fields(kind)}  # type: ignore[arg-type]
    if unknown := [str(key) for key in value if key not in fields and key not in also]:
        raise BadValue(f"{where} has unknown entries {', '.join(sorted(unknown))}; it knows {', '.join(fields)}")
    needed = [name for name, field in fields.items() if field.default is MISSING and field.default_factory is MISSING]
    if missing := [name for name in needed if name not in value]:
        raise BadValue(f"{where} lacks {', '.join(missing)}")
    hints = _hints(kind)  # type: ignore[arg-type]  # a class is hashable
    entries = {name: decode(hints[name], value[name], f"{where}.{name}") for name in fields if name in value}
    try:
        return kind(**entries)
    except BadValue as error:
        raise BadValue(f"{where}: {error}") from error


# -- the schema -----------------------------------------------------------------------------------------------------------


def schema(kind: type, more: Mapping[tuple[str, str], Mapping[str, Any]]) -> dict[str, Any]:
    """The JSON Schema of a dataclass. `more` adds keywords to (name of the class, name of the field), for classes whose own
    checks are written out in code.
    """
    definitions: dict[str, Any] = {}
    top = _schema_of_class(kind, definitions, more)
    return {**top, "$defs": dict(sorted(definitions.items()))}


def _schema_of_class(
    kind: type, definitions: dict[str, Any], more: Mapping[tuple[str, str], Mapping[str, Any]]
) -> dict[str, Any]:
    hints = _hints(kind)
    properties: dict[str, Any] = {}
    required = []
    for field in dataclasses.fields(kind):
        about = {"description": field.metadata["about"]} if field.metadata.get("about") else {}
        bounds = {_KEYWORDS[key]: value for key, value in field.metadata.get("bounds", {}).items()}
        extra = dict(more.get((kind.__name__, field.name), {}))
        bounds |= {key: extra.pop(key) for key in list(extra) if key in _KEYWORDS.values()}
        choices = field.metadata.get("choices") or extra.pop("enum", ())
        properties[field.name] = {**about, **_schema_of(hints[field.name], bounds, tuple(choices), definitions, more), **extra}
        default = _default(field)
        if default is MISSING:
            required.append(field.name)
        else:
            properties[field.name]["default"] = default
    first = (kind.__doc__ or "").strip().partition("\n\n")[0]
    out: dict[str, Any] = {"description": " ".join(first.split()), "type": "object", "properties": properties}
    if required:
        out["required"] = required
    return {**out, "additionalProperties": False}


def _default(field: dataclasses.Field[Any]) -> Any:
    if field.default is not MISSING:
        return plain(field.default)
    if field.default_factory is not MISSING:
        return plain(field.default_factory())
    return MISSING


def plain(value: Any) -> Any:
    """A dataclass, and what is in it, as JSON knows it: objects, lists, text, numbers."""
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        return {field.name: plain(getattr(value, field.name)) for field in dataclasses.fields(value)}
    if isinstance(value, (tuple, list)):
        return [plain(entry) for entry in value]
    return value


def _schema_of(
    hint: Any,
    bounds: Mapping[str, float],
    choices: tuple[str, ...],
    definitions: dict[str, Any],
    more: Mapping[tuple[str, str], Mapping[str, Any]],
) -> dict[str, Any]:
    origin = get_origin(hint)
    if dataclasses.is_dataclass(hint) and isinstance(hint, type):
        if hint.__name__ not in definitions:
            definitions[hint.__name__] = {}  # holds the place, should it refer to itself
            definitions[hint.__name__] = _schema_of_class(hint, definitions, more)
        return {"$ref": f"#/$defs/{hint.__name__}"}
    if origin in (Union, types.UnionType):
        return {"anyOf": [_schema_of(h, bounds, choices, definitions, more) for h in get_args(hint)]}
    if origin is tuple:
        hints = get_args(hint)
        if len(hints) == 2 and hints[1] is Ellipsis:
            return {"type": "array", "items": _schema_of(hints[0], bounds, choices, definitions, more)}
        entries = [_schema_of(h, bounds, choices, definitions, more) for h in hints]
        return {"type": "array", "prefixItems": entries, "minItems": len(hints), "maxItems": len(hints)}
    if hint is str and choices:
        return {"enum": list(choices)}
    if hint is float or hint is int:
        return {"type": "number" if hint is float else "integer", **bounds}
    return {"type": {str: "string", bool: "boolean", type(None): "null"}[hint]}
