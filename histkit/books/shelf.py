"""The books of a folder: which file is which book, in what encoding, and what is known of it.

What is known comes from `books.csv` in the folder (columns file, title, author, year, country, kind, place; only `file` must be
there) or from `<name>.csv` beside a book, with the same columns and one row. What is not known stays empty and is said.
"""

from __future__ import annotations

import codecs
import csv
import io
import os
import re
from dataclasses import dataclass
from fnmatch import fnmatch
from pathlib import Path

from histkit.base.errors import BadValue, quoted
from histkit.base.nouns import KINDS, Source
from histkit.base.tables import read
from histkit.base.text import clean
from histkit.measures.choosing import guess_kind

TABLE = "books.csv"
COLUMNS = ("file", "title", "author", "year", "country", "kind", "place", "url")


@dataclass(frozen=True, slots=True)
class Book:
    """One text file and the book that it holds. `file` is its path inside the folder, with slashes, as it can be shown and
    written: what is no character, or would break a line, stands there as something else.
    """

    file: str
    path: Path
    source: Source
    size: int
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class _Row:
    """What a table says of a book; `sort` are the words of its kind where they name none that is known."""

    source: Source
    sort: str = ""


@dataclass(frozen=True, slots=True)
class Shelf:
    """Books in the order of their file names, and what there is to say about the folder."""

    books: tuple[Book, ...]
    notes: tuple[str, ...] = ()


def shelf(where: str | Path) -> Shelf:
    """The books at `where`: one text file, or all `*.txt` in a folder and the folders in it.

    Raises:
        BadValue: there is no such file or folder, no text in it, or a row of books.csv that makes no sense; says where.
    """
    where = Path(where)
    notes: list[str] = []
    if where.is_file():
        folder, files = where.parent, [where]
    elif where.is_dir():
        folder, files = where, _texts(where, notes)
    else:
        raise BadValue(f"there is no file or folder {where}: give a text file (.txt) or a folder of them")
    if not files:
        more = f" ({' '.join(notes)})" if notes else ""
        raise BadValue(f"the folder {where} holds no text: put the books there as plain text, their names ending in .txt{more}")
    listed = _listed(folder / TABLE)
    names = {p.relative_to(folder).as_posix(): p for p in files}
    notes += [f"{TABLE} names {file}, which is not in the folder." for file in listed if file not in names and where.is_dir()]
    shown: dict[str, str] = {}
    for file in sorted(names):
        word, number = " ".join(clean(file).split(" ")).replace("\n", " "), 1
        while (again := word if number == 1 else f"{word} ({number})") in shown:
            number += 1
        shown[again] = file
    return Shelf(tuple(_book(word, file, names[file], listed) for word, file in shown.items()), tuple(notes))


def _texts(where: Path, notes: list[str]) -> list[Path]:
    """The texts in a folder and the folders in it. A link is not followed: what is read lies in the folder that was named."""

    def closed(error: OSError) -> None:
        notes.append(f"{error.filename} was not looked into: {error.strerror or error}.")

    paths: list[Path] = []
    for folder, inner, files in os.walk(where, onerror=closed):
        texts = [Path(folder) / name for name in files if fnmatch(name, "*.txt")]
        paths += [path for path in texts if path.is_file() and not path.is_symlink()]
        links = sorted(path for path in (*texts, *(Path(folder) / name for name in inner)) if path.is_symlink())
        notes += [f"{path.relative_to(where).as_posix()} is a link and was not followed." for path in links]
    return sorted(paths)


def _listed(table: Path) -> dict[str, _Row]:
    """File → what is known of it, as a table of books says; empty where there is none."""
    if not table.is_file():
        return {}
    if table.is_symlink():
        raise BadValue(f"{table} is a link, which is not followed: put the table itself there")
    text, _ = decode(table.read_bytes())
    try:
        return _listed_in(table, csv.DictReader(io.StringIO(text, newline="")))
    except csv.Error as error:
        raise BadValue(f"{table} cannot be read as a table ({error}): save it as CSV in UTF-8") from None


def _listed_in(table: Path, reader: csv.DictReader[str]) -> dict[str, _Row]:
    columns = [c.strip().casefold() for c in reader.fieldnames or ()]
    if "file" not in columns:
        raise BadValue(f"{table}: the first row names the columns, and one of them must be 'file'; it holds {', '.join(columns)}")
    rows: dict[str, _Row] = {}
    for number, row in enumerate(reader, start=2):
        cells = {
            (key or "").strip().casefold(): (value or "").strip() for key, value in row.items() if not isinstance(value, list)
        }
        if not any(cells.values()):
            continue
        kind = sort_of_book(cells.get("kind", ""))
        row_of = _Row(_source(cells, kind, f"{table}, row {number}"), "" if kind else cells.get("kind", ""))
        rows[cells["file"].replace("\\", "/")] = row_of
    return rows


def sort_of_book(words: str) -> str | None:
    """The sort that the words of a catalogue name, as `Source.kind` has it: 'household book', 'Cookery', 'secrets'; None where
    they name none. Rule of thumb: as the words of a title are taken, then by the beginnings of words in sorts.csv.
    """
    plain = " ".join(words.casefold().split())
    if plain in KINDS:
        return plain
    rows, parts = read("books/sorts"), re.split(r"[^\w]+", plain)
    starting = (row["kind"] for row in rows if any(part.startswith(row["start"]) for part in parts))
    return guess_kind(plain)[0] or next(starting, None)


def _source(cells: dict[str, str], kind: str | None, where: str) -> Source:
    year = cells.get("year", "")
    if year and not re.fullmatch(r"[0-9]{4}", year):
        raise BadValue(f"{where}: the year is four figures such as 1872, or left empty; not {year!r}")
    try:
        return Source(
            title=cells.get("title", ""),
            author=cells.get("author", ""),
            year=int(year) if year else None,
            country=cells.get("country", "").upper(),
            kind=kind,
            place=cells.get("place", ""),
            url=cells.get("url", ""),
        )
    except BadValue as error:
        raise BadValue(f"{where}: {error}") from None


def _book(shown: str, file: str, path: Path, listed: dict[str, _Row]) -> Book:
    row = listed.get(file)
    beside = path.with_suffix(".csv")
    if row is None and beside.name != TABLE and beside.is_file():
        row = next(iter(_listed(beside).values()), None)
    notes = []
    if row is None:
        source = Source(title=Path(shown).stem.replace("_", " ").replace("-", " "))
        notes.append(f"{shown}: nothing is known of this book but its name; a row in {TABLE} would tell its year and country.")
    else:
        source = row.source
        missing = [name for name, value in (("year", source.year), ("country", source.country)) if not value]
        if missing:
            notes.append(f"{shown}: {' and '.join(missing)} not given, so that the measures are chosen by guess.")
        if row.sort:
            known = ", ".join(map(repr, KINDS))
            told = f"the sort {quoted(row.sort)} is not known and was passed over; known are {known} and words like them."
            notes.append(f"{shown}: {told}")
    return Book(shown, path, source, path.stat().st_size, tuple(notes))


def decode(data: bytes) -> tuple[str, str]:
    """(text, encoding) of a file: UTF-8 where it is that, UTF-16 where it begins with its mark, else the Western encodings of
    older mirrors, which fit anything.
    """
    if data.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        try:
            return data.decode("utf-16"), "utf-16"
        except UnicodeDecodeError:
            pass
    for encoding in ("utf-8-sig", "cp1252"):
        try:
            return data.decode(encoding), encoding.removesuffix("-sig")
        except UnicodeDecodeError:
            continue
    return data.decode("latin-1"), "latin-1"


def text_of(book: Book) -> tuple[str, tuple[str, ...]]:
    """The text of a book, and what there is to say about how it was read.

    Raises:
        BadValue: the file cannot be read.
    """
    try:
        data = book.path.read_bytes()
    except OSError as error:
        raise BadValue(f"{book.path} cannot be read: {error.strerror or error}") from error
    text, encoding = decode(data)
    notes = () if encoding == "utf-8" else (f"{book.file}: not UTF-8; read as {encoding}.",)
    if "\x00" in text:
        notes = (*notes, f"{book.file}: holds null characters and may be no text.")
    return text, notes
