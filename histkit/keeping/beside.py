"""What is set side by side with a formula: the record's own choices and the files beside it, as `histkit.versions` takes them."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from histkit.base.errors import BadValue, HistkitError
from histkit.keeping.choices import Companion
from histkit.keeping.files import load
from histkit.keeping.record import Record
from histkit.reading import read
from histkit.telling.listed import ingredient_list
from histkit.telling.versions import Version, Versions, version_of, versions
from histkit.translating.translator import translate


def version_from(companion: Companion, folder: Path, without_binders: bool = False) -> Version:
    """One that stands beside the formula; records are looked for in `folder`.

    Raises:
        HistkitError: it cannot be read, or the record's file is not there; the text says what is wrong.
    """
    if companion.form == "record":
        path = folder / companion.text
        if path.parent.resolve() != folder.resolve():
            raise BadValue(f"{companion.text!r} is no file of the folder {folder}; give the name of a record that lies there")
        found = version_of(load(path), without_binders)
        return replace(found, name=companion.name or found.name or path.stem)
    if companion.form == "formula":
        found = version_of(translate(read(companion.text, source=companion.source)), without_binders)
    else:
        ordered = companion.form == "list"
        found = version_of(ingredient_list(companion.text, companion.name, ordered, companion.one_percent_from or None))
    return replace(found, name=companion.name or found.name)


def side_by_side(record: Record, folder: Path, without_binders: bool = False) -> tuple[Versions | None, tuple[str, ...]]:
    """(the formula with its companions side by side, a sentence for each companion that cannot be shown).

    None where no companion is left.

    Raises:
        HistkitError: the formula itself cannot be worked out, or there are more than seven companions.
    """
    shown, troubles = [version_of(record, without_binders)], []
    for number, companion in enumerate(record.beside, start=1):
        try:
            shown.append(version_from(companion, folder, without_binders))
        except HistkitError as error:
            troubles.append(f"Number {number} beside it ({companion.name or companion.text.strip()[:40]}): {error}")
    return (versions(shown) if len(shown) > 1 else None), tuple(troubles)
