"""A maker's formulas: which there are in a folder, what stands in each, and what can be done with their files.

A formula is one record file, its history beside it. The one on the desk is `my-formula.json`; the others have names of their
own. No file ever takes the place of another formula: what is deleted goes into the folder `bin`, a name that is taken is told.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import islice
from pathlib import Path

from histkit.base.errors import BadValue, HistkitError, RecordError
from histkit.base.files import numbered, write_atomically, write_new
from histkit.keeping import history as states
from histkit.keeping.files import is_record, load, save
from histkit.keeping.folder import ENDING, keep_picture, kept_in, named, same_file
from histkit.keeping.photograph import Photograph
from histkit.keeping.record import Record

BIN = "bin"
"""The folder beside the formulas where deleted ones lie until somebody takes them out."""
MOST_OF_A_NAME = 999
"""Folders of one name that are looked into."""
LONGEST_NAME = 60
"""Characters of a file's name that is made of a title."""


@dataclass(frozen=True, slots=True)
class Entry:
    """One formula of the library, with what it can be found by. `problem` says why its file cannot be read, else ''.

    `ingredients` are today's names, `printed` the words of the text, `forbidden` what must still be replaced, `saved` when its
    file was saved (seconds since 1970).
    """

    file: Path
    name: str
    book: str = ""
    year: int | None = None
    ingredients: tuple[str, ...] = ()
    printed: str = ""
    forbidden: tuple[str, ...] = ()
    saved: float = 0.0
    problem: str = ""

    def line(self) -> str:
        """The entry in one line."""
        if self.problem:
            return f"{self.name}: cannot be read"
        where = ", ".join(str(part) for part in (self.book, self.year) if part) or "no book named"
        held = f"; must be replaced: {', '.join(self.forbidden)}" if self.forbidden else ""
        return f"{self.name} ({where}; {len(self.ingredients)} ingredients{held})"


# -- listing ------------------------------------------------------------------------------------------------------------


def entries(folder: Path, own: Path | None = None) -> tuple[Entry, ...]:
    """The formulas of a folder, the one saved last first, without the desk's own file."""
    found = [_entry(file) for file in kept_in(folder, own)]
    return tuple(sorted(found, key=lambda entry: (-entry.saved, entry.name)))


def in_bin(folder: Path) -> tuple[Entry, ...]:
    """The formulas that were deleted and can be taken out again."""
    return entries(folder / BIN)


def matching(all_entries: Iterable[Entry], words: str) -> tuple[Entry, ...]:
    """Those that have every one of `words` in their name, book, year, ingredients or printed words."""
    wanted = _plain(words).split()
    return tuple(entry for entry in all_entries if all(word in _found_by(entry) for word in wanted))


def _found_by(entry: Entry) -> str:
    parts = (entry.name, entry.file.stem, entry.book, str(entry.year or ""), *entry.ingredients, entry.printed)
    return _plain(" ".join(parts))


def _plain(words: str) -> str:
    decomposed = unicodedata.normalize("NFKD", words.casefold())
    return "".join(c for c in decomposed if not unicodedata.combining(c))


def _entry(file: Path) -> Entry:
    try:
        about = file.stat()
    except OSError as error:
        return Entry(file, file.stem, problem=str(error.strerror or error))
    return _read(file, about.st_mtime_ns, about.st_size)


@lru_cache(maxsize=1024)
def _read(file: Path, time: int, size: int) -> Entry:
    saved = time / 1e9
    try:
        record = load(file)
    except RecordError as error:
        return Entry(file, file.stem, saved=saved, problem=str(error))
    source, name = record.source, title_of(record) or file.stem.replace("-", " ")
    ingredients: tuple[str, ...] = ()
    forbidden: tuple[str, ...] = ()
    try:
        ingredients = tuple(dict.fromkeys(t.name for t in record.translation().lines if not t.line.set_aside))
        forbidden = tuple(entry.name for entry in record.composition().forbidden)
    except HistkitError:
        pass  # a text in which nothing can be read is a formula of the library too
    book = " ".join(filter(None, (f"{source.author}:" if source.author and source.title else source.author, source.title)))
    return Entry(file, name, book, source.year, ingredients, " ".join(record.text.split()), forbidden, saved)


def title_of(record: Record) -> str:
    """The title of a formula: the maker's, else the printed one; '' where there is none."""
    if record.title:
        return record.title
    try:
        return " ".join(record.formula().title.split())
    except HistkitError:
        return ""


def file_name(words: str) -> str:
    """A name for a file or folder made of a title: letters and figures, the rest hyphens; '' where nothing is left."""
    plain = re.sub(r"['’]", "", unicodedata.normalize("NFC", words.casefold()))
    return re.sub(r"[^\w]+|_+", "-", plain).strip("-")[:LONGEST_NAME].strip("-")


# -- opening and putting away -------------------------------------------------------------------------------------------


def opened(file: Path) -> Record:
    """The record of a file, knowing under which name it is kept. Raises RecordError where it cannot be read."""
    return replace(load(file), kept_as=file.stem)


def put_away(record: Record, own: Path) -> Path:
    """Keep the record of the desk (whose file is `own`) under its own name; the path.

    One that came from a file of the library goes back into it, where its earlier states stay in the history; any other goes into
    a new file of its title's name, or into the one that holds just this already.

    Raises RecordError where it cannot be saved.
    """
    folder = own.parent
    home = folder / f"{record.kept_as}{ENDING}"
    if record.kept_as and Path(record.kept_as).name == record.kept_as and is_record(home) and not same_file(home, own):
        save(record, home)
        return home
    for file in kept_in(folder, own):
        if _same_but_for_the_name(file, record):
            return file
    stem = file_name(title_of(record)) or f"{own.stem}-set-aside"
    names = (name for name in numbered(stem, ENDING) if not same_file(folder / name, own))
    return write_new(folder, names, record.to_json())


def _same_but_for_the_name(file: Path, record: Record) -> bool:
    try:
        return replace(load(file), kept_as="") == replace(record, kept_as="")
    except RecordError:
        return False


# -- what is done with files --------------------------------------------------------------------------------------------


def duplicate(file: Path) -> Path:
    """A second formula like the first, in a file of its own; its path. Raises RecordError where it cannot be read or saved."""
    record = load(file)
    copy = replace(record, title=f"{title_of(record) or file.stem.replace('-', ' ')}, copy", kept_as="")
    return write_new(file.parent, numbered(f"{file.stem}-copy", ENDING), copy.to_json())


def rename(file: Path, words: str, own: Path | None = None) -> Path:
    """Give a formula another name, which becomes its title and its file's; the new path. Its history goes along.

    Raises:
        BadValue: the name holds what a file's name cannot, or there is a formula of that name already.
        RecordError: it cannot be saved.
    """
    stem = named(words)
    target = file.with_name(f"{stem}{ENDING}")
    if not same_file(target, file):
        if target.exists() or states.folder_of(target).exists() or (own is not None and same_file(target, own)):
            raise BadValue(f"there is a formula {stem!r} already, and it is not written over: choose another name")
        _move(file, target)
    save(replace(load(target), title=" ".join(words.split()), kept_as=""), target)
    return target


def to_bin(file: Path) -> Path:
    """Move a formula and its history into the bin; its path there. Raises RecordError where it cannot be moved."""
    return _move_into(file, file.parent / BIN)


def from_bin(file: Path) -> Path:
    """Take a formula out of the bin again; its path. Raises RecordError where it cannot be moved."""
    return _move_into(file, file.parent.parent)


def _move_into(file: Path, folder: Path) -> Path:
    try:
        folder.mkdir(exist_ok=True)
    except OSError as error:
        raise RecordError(f"{folder} cannot be made: {error.strerror or error}") from error
    places = (folder / name for name in numbered(file.stem, ENDING))
    target = next(place for place in places if not place.exists() and not states.folder_of(place).exists())
    _move(file, target)
    return target


def _move(file: Path, target: Path) -> None:
    past = states.folder_of(file)
    try:
        file.rename(target)
        if past.is_dir() and not past.is_symlink():
            past.rename(states.folder_of(target))
    except OSError as error:
        raise RecordError(f"{file.name} cannot be moved: {error.strerror or error}") from error


def take_in(text: str, name: str, folder: Path) -> Path:
    """Put a record file that comes from elsewhere among the formulas, under a name that nothing has yet; its path.

    Raises RecordError where the text is no record that this histkit can read.
    """
    record = Record.from_json(text, name)
    return write_new(folder, numbered(file_name(Path(name).stem) or "formula", ENDING), replace(record, kept_as="").to_json())


def own_folder(record: Record, folder: Path) -> Path:
    """The folder for the pictures and sheets of this formula, in that of the formulas: of its name, made where it is missing.

    A copy of the record lies in it. Another formula of the same name gets a folder of its own, with a number.

    Raises RecordError where it cannot be made.
    """
    for name in islice(numbered(file_name(title_of(record)) or "without-a-name"), MOST_OF_A_NAME):
        place = folder / name
        mark = place / f"formula{ENDING}"
        if place.is_symlink():
            continue
        if place.is_dir() and is_record(mark):
            if not _of_the_same_formula(mark, record):
                continue
        elif place.exists():
            continue
        try:
            place.mkdir(exist_ok=True)
        except OSError as error:
            raise RecordError(f"{place} cannot be made: {error.strerror or error}") from error
        write_atomically(mark, record.to_json())
        return place
    raise RecordError(f"no folder could be made in {folder}")


def with_picture(record: Record, photograph: Photograph, picture: bytes, home: Path | None) -> Record:
    """The record with the photograph that its text was read from; its upright picture (a JPEG file) is put into the folder of the
    formula, in that of the formulas (`home`; None: nothing is kept in files).

    Raises RecordError where it cannot be written.
    """
    new = replace(record, photograph=photograph)
    return new if home is None else replace(new, photograph=keep_picture(photograph, own_folder(new, home), picture))


def _of_the_same_formula(file: Path, record: Record) -> bool:
    """Whether a record is of the same book, as far as both name one, and has the same text or one mended here and there."""
    try:
        there = load(file)
    except RecordError:
        return False
    nothing = Record().source
    return alike(there.text, record.text) and (there.source == record.source or nothing in (there.source, record.source))


def alike(one: str, other: str) -> bool:
    """Whether a text may be another mended here and there: it has a line of it, or half of its words."""
    if not one.strip() or not other.strip():
        return one.strip() == other.strip()
    lines = [{" ".join(line.split()) for line in text.splitlines() if line.strip()} for text in (one, other)]
    words = [set(text.casefold().split()) for text in (one, other)]
    return not lines[0].isdisjoint(lines[1]) or len(words[0] & words[1]) >= len(words[0]) / 2
