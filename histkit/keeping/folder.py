"""The formulas that are kept in a folder: which there are, further copies, which never take the place of another file, and the
pictures that texts were read from."""

from __future__ import annotations

import unicodedata
from dataclasses import replace
from hashlib import sha256
from pathlib import Path

from histkit.base.errors import BadValue
from histkit.base.files import numbered, write_new
from histkit.keeping.files import is_record
from histkit.keeping.photograph import Photograph, check_place
from histkit.keeping.record import Record

ENDING = ".json"
NOT_ON_WINDOWS = frozenset(("con", "prn", "aux", "nul", *(f"{port}{n}" for port in ("com", "lpt") for n in range(1, 10))))
"""Names that Windows keeps for devices, whatever follows the dot."""
PICTURE = "photograph"
"""The beginning of the name of a picture that a text was read from."""
LARGEST_PICTURE = 60_000_000
"""Bytes above which a file is no picture of ours."""


def kept_in(folder: Path, own: Path | None = None) -> tuple[Path, ...]:
    """The record files of a folder, by name, without the one that is `own`."""
    try:
        files = sorted(folder.glob(f"*{ENDING}"))
    except OSError:
        return ()
    return tuple(file for file in files if not (own is not None and same_file(file, own)) and is_record(file))


def same_file(one: Path, other: Path) -> bool:
    """Whether two paths lead to one file; of files that are not there yet, whether their names may mean the same one.

    On many systems capitals make no difference to a name, nor does how an accent is put together.
    """
    try:
        return one.samefile(other)
    except OSError:
        return one.parent == other.parent and _alike(one.name) == _alike(other.name)


def _alike(name: str) -> str:
    return unicodedata.normalize("NFC", unicodedata.normalize("NFC", name).casefold())


def named(name: str) -> str:
    """The beginning of a file's name for a name that a maker gives: 'rice powder' → 'rice-powder'.

    Raises BadValue where it holds something else than letters, figures, blanks and hyphens.
    """
    words = " ".join(unicodedata.normalize("NFC", name).split())
    if not words or not all(c.isalnum() or c in " -_" or unicodedata.category(c) == "Mn" for c in words):
        raise BadValue("give it a name of letters, figures, blanks and hyphens, such as 'rice powder 1871'")
    stem = words.replace(" ", "-")
    if stem.casefold() in NOT_ON_WINDOWS:
        raise BadValue(f"{stem!r} is no name for a file on Windows; choose another name")
    return stem


def keep_copy(record: Record, folder: Path, name: str, own: Path | None = None) -> Path:
    """Save a record under a name that a maker gives, in a file that was not there: 'rice powder' in `rice-powder.json`, or in
    `rice-powder-2.json` where there is one already. `own` is a file that keeps its name for itself.

    Raises:
        BadValue: the name holds something else than letters, figures, blanks and hyphens, or is that of `own`.
        RecordError: it cannot be saved.
    """
    stem = named(name)
    path = folder / f"{stem}{ENDING}"
    if own is not None and same_file(path, own):
        raise BadValue(f"{path.name} is the desk's own file; choose another name for the copy")
    names = (free for free in numbered(stem, ENDING) if own is None or not same_file(folder / free, own))
    return write_new(folder, names, record.to_json())


def keep_picture(photograph: Photograph, folder: Path, picture: bytes) -> Photograph:
    """Put the picture (a JPEG file) into the formula's own folder; the photograph, knowing where. The same picture is kept once.

    Raises RecordError where it cannot be written.
    """
    digest = sha256(picture).hexdigest()
    present = (file for file in sorted(folder.glob(f"{PICTURE}*.jpg")) if _digest_of(file) == digest)
    file = next(present, None) or write_new(folder, numbered(PICTURE, ".jpg"), picture)
    return replace(photograph, picture=f"{folder.name}/{file.name}", digest=digest)


def picture_of(photograph: Photograph, home: Path) -> bytes | None:
    """The picture that a text was read from, a JPEG file in a folder beside the record; None where it does not lie there, or
    another one does.
    """
    try:
        folder, name = check_place(photograph.picture)
    except BadValue:
        return None
    file = home / folder / name
    return None if file.is_symlink() or _digest_of(file) != photograph.digest else file.read_bytes()


def _digest_of(file: Path) -> str:
    """The digest of a picture; '' where there is none."""
    try:
        if not file.is_file() or file.stat().st_size > LARGEST_PICTURE:
            return ""
        return sha256(file.read_bytes()).hexdigest()
    except OSError:
        return ""
