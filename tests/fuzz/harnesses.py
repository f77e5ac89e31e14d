"""What must hold for any bytes at all: one function for each door through which a maker's words come in.

Each takes bytes, so that the same function is driven by Hypothesis (`test_harnesses.py`, a few examples in every run of the
tests) and by Atheris, which looks for the bytes that reach code not reached before (`make fuzz`, `run.py`). Bytes that are no
UTF-8 become lone surrogates, as in the names of files and in words from a shell. Where a harness needs several texts they are
divided by the record separator, U+001E.
"""

from __future__ import annotations

import contextlib
import csv
import io
import json
import math
import os
import re
import tempfile
import unicodedata
import xml.etree.ElementTree as ElementTree
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import replace
from html.parser import HTMLParser
from itertools import pairwise
from pathlib import Path

import openpyxl

import histkit as hk
from histkit import glossary, records
from histkit.base.descriptions import Footnote
from histkit.base.errors import HistkitError, RecordError, TableError, UnknownName
from histkit.base.text import markdown_cell
from histkit.bench.batching import Batch
from histkit.books.finding import find_formulas
from histkit.books.partfiles import Placed, opened, write_csv
from histkit.books.parts import parts_of, worked_out
from histkit.books.rows import columns
from histkit.books.shelf import decode
from histkit.glossary.additions import additions
from histkit.keeping import example as demo
from histkit.keeping.records import Record
from histkit.telling import captions as text
from histkit.telling import pages
from histkit.telling.comparison import ComparisonTable, Row

BETWEEN = "\x1e"


def words_of(data: bytes) -> str:
    """Any bytes as text; what is no UTF-8 becomes lone surrogates."""
    return data.decode("utf-8", "surrogateescape")


# -- what holds for whatever is shown ----------------------------------------------------------------------------------------


def hidden_in(shown: str) -> list[str]:
    """The characters of a text that a terminal would act upon, or that would hide or turn round words: none may be shown."""
    return [c for c in shown if (c not in "\n\t" and unicodedata.category(c) in ("Cc", "Cs")) or c in OVERRIDES]


OVERRIDES = frozenset(map(chr, [0x61C, 0x200E, 0x200F, *range(0x202A, 0x202F), *range(0x2066, 0x206A)]))


def plain(*shown: str) -> None:
    for words in shown:
        assert not hidden_in(words), f"hidden characters {hidden_in(words)!r} in {words!r}"


def sensible(error: HistkitError) -> None:
    """An error is told in words: a sentence, not a number or a name of Python's."""
    said = str(error)
    assert len(re.findall(r"[a-z]{2,}", said)) >= 3, f"{type(error).__name__} says no more than {said!r}"
    assert "Traceback" not in said and "object at 0x" not in said, said


@contextlib.contextmanager
def refused(*kinds: type[HistkitError]) -> Iterator[None]:
    """Only errors of these kinds (any of histkit's own, where none is named), each with a sensible message."""
    try:
        yield
    except HistkitError as error:
        if kinds and not isinstance(error, kinds):
            raise
        sensible(error)


class Skeleton(HTMLParser):
    """The elements of a page with the names of their attributes, without any of its words."""

    def __init__(self, page: str) -> None:
        super().__init__(convert_charrefs=True)
        self.elements: set[tuple[str, tuple[str, ...]]] = set()
        self.said: list[str] = []
        self.loose: list[str] = []
        self.feed(page)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.add((tag, tuple(sorted(name for name, _ in attrs))))

    def handle_data(self, data: str) -> None:
        self.said.append(data)

    def handle_comment(self, data: str) -> None:
        self.loose.append(data)

    def handle_pi(self, data: str) -> None:
        self.loose.append(data)

    def unknown_decl(self, data: str) -> None:
        self.loose.append(data)


def no_markup_of_the_maker(page: str, harmless: str) -> None:
    """A page has no element, attribute or comment that the same page with harmless words has not."""
    found, allowed = Skeleton(page), Skeleton(harmless)
    assert found.elements <= allowed.elements | {("br", ())}, found.elements - allowed.elements
    assert not found.loose, found.loose
    plain(page)


_MARK = re.compile(r"(?<!\\)(?:\\\\)*([`*_{}\[\]|#$~])")


def no_markdown_of_the_maker(cell: str) -> None:
    """Nothing in a cell or paragraph that Markdown, or HTML inside it, would act upon."""
    assert not _MARK.search(cell), cell
    assert "<" not in cell and "\n" not in cell and "\r" not in cell, cell
    assert not re.match(r"\s*(?:[-+=>](?:\s|$)|[-=]+\s*$|\d+[.)](?:\s|$))| {4}|\t", cell), f"begins a list, a rule or code: {cell!r}"


def no_formula_of_a_spreadsheet(cell: str) -> None:
    assert cell.lstrip()[:1] not in (*"=+-@＝＋－＠",) or not cell.strip(), cell
    assert cell[:1] not in ("\t", "\r", "\n"), repr(cell)
    plain(cell)


def weighs_up(batch: Batch) -> None:
    """The weighings add up to the batch, exactly but for the last bit of a float, and none of them is less than nothing."""
    total = math.fsum(w.grams for w in batch.weighings)
    assert math.isclose(total, batch.grams, rel_tol=1e-9), (total, batch.grams)
    assert all(w.grams >= 0 for w in batch.weighings)


def adds_to_one(composition: hk.Composition) -> None:
    assert math.isclose(math.fsum(p.share for p in composition.parts), 1, rel_tol=1e-9)
    assert all(p.share > 0 for p in composition.parts)


# -- printed words -----------------------------------------------------------------------------------------------------------


def letters(shown: str) -> Counter[str]:
    """Runs of letters, as in tests/reading/test_properties.py: scans glue figures to words, and a line may end between them."""
    return Counter("".join(c if c.isalpha() else " " for c in shown).split())


def fuzz_reading(data: bytes) -> None:
    """Any text is read or kindly refused; every word stands in one place; its masses add up; all that is shown is plain."""
    printed = words_of(data)
    try:
        formula = hk.read(printed)
    except hk.ReadingError as error:
        sensible(error)
        return
    placed = [formula.title, formula.directions, *formula.unread, *(line.raw for line in formula.lines)]
    assert letters(" ".join(placed)) == letters(printed), "a word is lost or stands twice"
    spans = [line.span for line in formula.lines]
    assert all(a[1] <= b[0] for a, b in pairwise(spans)), "raws overlap"
    assert all(printed[s:e] == line.raw for line, (s, e) in zip(formula.lines, spans, strict=True))
    assert hk.Formula.from_json(formula.to_json()) == formula
    translation = hk.translate(formula)
    assert len(translation.lines) == len(formula.lines)
    for line in translation.lines:
        if line.grams is not None:
            assert all(math.isfinite(v) and v >= 0 for v in (line.grams.low, line.grams.best, line.grams.high)), line
    plain(translation.to_text(), *(line.explain() for line in translation.lines))
    with refused():
        composition = translation.composition()
        adds_to_one(composition)
        made = hk.batch(composition, grams=60, balance=hk.Balance(readability=0.01, minimum=0.2))
        weighs_up(made)
        plain(made.to_text(), made.bench_sheet().to_text())


def fuzz_lookup(data: bytes) -> None:
    """Any words are looked up: an ingredient of the glossary, with what else it may be, or nothing; never silently a guess."""
    name = words_of(data)
    match = glossary.find(name)
    with refused(UnknownName):
        assert glossary.ingredient(name).id == name
    if match is None:
        return
    assert match.ingredient.id in glossary.ingredients
    assert 0 < match.score <= 1
    assert match.ingredient.id not in [other.id for other in match.alternatives], "it is its own alternative"
    assert not match.alternatives or match.doubts, "other readings, and no doubt said"
    again = glossary.find(match.ingredient.name)
    assert again is not None
    assert glossary.find(f"  {name} ") == match, "blanks around a name change what it means"
    plain(match.to_text() if hasattr(match, "to_text") else "", *(d.text for d in match.doubts))


# -- files of the maker's ----------------------------------------------------------------------------------------------------

HOSTILE_VALUES = (
    None, True, 0, -1, 1, 0.5, 1e308, -1e308, 5e-324, 1e-9, 1e15, 2**63, 10**400, "", "talc", "lead-carbonate", "zinc-oxide", "=1+1",
    "<b>", "\u202eabc", [], [None], [["talc", 0.5]], [["talc", 1e308]], [["talc", -1]], {}, {"line": 0}, "GB", "metric", "cake",
    "powder", "pans", "cupboard", "drops", "absorption", "arbor", 44, 60, 3, [["zinc-oxide", 0.2], ["talc", 0.1]],
)  # fmt: skip
"""What may stand anywhere in a record, and mostly should not."""
BASE = Record(
    text="Powdered talc, 4 oz.\nRice starch, 2 oz.\nCarmine, 10 grains.\nOtto of rose, 3 drops.",
    pressing=records.Pressing(),
    weighing=records.Weighing(pans=2),
    corrections=(records.Correction(line=1, amount=2.0),),
    replacements=(records.Replacement("carmine", (("red-iron-oxide", 1.0),)),),
)


def _places(value: object, way: tuple[str | int, ...] = ()) -> Iterator[tuple[str | int, ...]]:
    entries = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for key, inner in entries:
        yield (*way, key)
        yield from _places(inner, (*way, key))


def _record_text(data: bytes) -> str:
    """The bytes themselves where they begin like JSON; else a good record in which they put hostile values at some places."""
    if data[:1] in (b"{", b"["):
        return words_of(data)
    made = json.loads(BASE.to_json())
    for at in range(0, min(len(data) - 1, 8), 2):
        places = list(_places(made))
        way = places[(data[at] + (data[at + 1] >> 6) * 256) % len(places)]
        inner = made
        for key in way[:-1]:
            inner = inner[key]
        inner[way[-1]] = HOSTILE_VALUES[data[at + 1] % len(HOSTILE_VALUES)]
    if len(data) > 8:
        made["text"] = words_of(data[8:])
    return json.dumps(made)


def fuzz_records(data: bytes) -> None:
    """A record file is read or refused in words; one that is read is written again as it was, and all that follows from it
    is worked out or refused in words."""
    try:
        record = Record.from_json(_record_text(data))
    except RecordError as error:
        sensible(error)
        plain_error(error)
        return
    assert Record.from_json(record.to_json()) == record
    for nouns in (record.translation, record.pan_fill, record.pressure, record.effects, record.label, record.log):
        with refused():
            nouns()
    with refused():
        adds_to_one(record.composition())
        adds_to_one(record.final())
    with refused():
        weighs_up(record.batch())
        plain(record.batch().to_text(), record.batch().bench_sheet().to_text())
    with refused():
        made = record.table()
        for total in (made.then_total, made.now_total):
            assert total is None or math.isclose(total, 100), total
        plain(made.to_text())


def plain_error(error: HistkitError) -> None:
    """What the shell prints of an error."""
    from histkit.shell.answering import sentence

    plain(sentence(error))


def fuzz_glossary_tables(data: bytes) -> None:
    """A maker's own tables are taken or refused with file and row; what is taken is found again under its own names.

    Each text is a file: its first line the name of the table, the rest the table.
    """
    shipped = {name: _shipped(name) for name in ("ingredients", "sources")}
    with tempfile.TemporaryDirectory(prefix="histkit-fuzz-") as name:
        folder = Path(name)
        for piece in data.split(BETWEEN.encode())[:4]:
            table, _, rows = piece.partition(b"\n")
            file = re.sub(r"[^a-z-]", "", table.decode("ascii", "ignore"))[:30]
            if file:
                (folder / f"{file}.csv").write_bytes(rows)
        try:
            added = additions(folder, glossary.folder(), shipped)
            glossary.use(folder)
        except TableError as error:
            sensible(error)
            assert str(folder) in str(error) or str(folder.resolve()) in str(error), error
            return
        try:
            for row in added.get("ingredients", ()):
                entry = glossary.ingredient(row["id"])
                assert entry.name == row["name"]
                plain(entry.to_text())
                no_markup_of_the_maker(entry.to_html(), glossary.ingredients["lead-carbonate"].to_html())
            for row in added.get("names", ()):
                glossary.find(row["name"])
            for key in {row.get("ingredient", row.get("preparation", "talc")) for rows in added.values() for row in rows}:
                if key in glossary.ingredients:
                    plain(glossary.ingredients[key].to_text())
            with refused():
                hk.translate(hk.read("Talc, 4 oz.\n" + "\n".join(r["name"] + ", 2 oz." for r in added.get("names", ())))).to_html()
        finally:
            glossary.use(None)


_KNOWN: dict[str, frozenset[str]] = {}


def _shipped(name: str) -> frozenset[str]:
    if name not in _KNOWN:
        _KNOWN[name] = frozenset(row["id"] for row in glossary.rows(name, glossary.folder()))
    return _KNOWN[name]


# -- what goes out -----------------------------------------------------------------------------------------------------------


def _hostile_table(said: Callable[[], str]) -> ComparisonTable:
    """A table of old and new with these words wherever words can stand."""
    entry = replace(glossary.ingredients["talc"], name=said())
    rows = (
        Row("kept", said(), said(), entry, 1, hk.Spread(0.3, 0.4, 0.5), 0.4, 24.0, 40.0, 40.0, said(), ("†",)),
        Row("replaced", said(), said(), entry, 2, hk.Spread(0.6, 0.6, 0.6), None, None, 60.0, None, said()),
        Row("stand-in", "", said(), entry, 2, None, 0.55, 33.0, None, 55.0, said()),
        Row("added", "", said(), entry, None, None, 0.05, 3.0, None, 5.0, said()),
    )
    source = hk.Source(said(), said(), 1872, said(), None, said(), said(), said())
    return ComparisonTable(rows, said(), source, (Footnote("†", said()),), (said(), said()), said())


def _tables(data: bytes) -> tuple[ComparisonTable, ComparisonTable]:
    """The table with these words, given out in turn, and its harmless twin."""
    pieces = words_of(data).split(BETWEEN)
    turn = iter(range(10_000))
    return _hostile_table(lambda: pieces[next(turn) % len(pieces)]), _hostile_table(lambda: "words")


def fuzz_exports(data: bytes) -> None:
    """Whatever names and titles say, no export holds markup, a spreadsheet's formula or hidden characters of theirs."""
    made, harmless = _tables(data)
    no_markup_of_the_maker(made.to_html(), harmless.to_html())
    no_markup_of_the_maker(pages.page(made), pages.page(harmless))
    plain(made.to_text(), made.to_markdown(), text.under_the_video(made), text.bibtex(made.source))
    for found in re.findall(r'<script type="application/ld\+json">\n(.*?)\n</script>', pages.page(made), re.DOTALL):
        json.loads(found)
    markdown = made.to_markdown().splitlines()
    grid = [line for line in markdown if line.startswith("| ")]
    assert len(grid) == len(made.rows) + 2, grid
    for line in grid:
        cells = re.split(r"(?<!\\)(?:\\\\)*\|", line)[1:-1]
        assert len(cells) == 6, line
        for cell in cells:
            no_markdown_of_the_maker(cell.strip())
    for note in made.all_notes():
        no_markdown_of_the_maker(markdown_cell(note))
    with tempfile.TemporaryDirectory(prefix="histkit-fuzz-") as name:
        folder = Path(name)
        made.to_csv(folder / "table.csv")
        with (folder / "table.csv").open(encoding="utf-8", newline="") as file:
            read_back = list(csv.reader(file))
        assert len(read_back) == 1 + len(made.rows)
        assert {len(row) for row in read_back} == {14}
        for row in read_back[1:]:
            for cell in row:
                no_formula_of_a_spreadsheet(cell)
        for separator in ";\t":  # as a program sees the cells that parts them otherwise
            apart = csv.reader(io.StringIO((folder / "table.csv").read_text(encoding="utf-8"), newline=""), delimiter=separator)
            assert not [cell for row in apart for cell in row if cell.strip()[:1] in (*"=+-@＝＋－＠",)]
        made.to_xlsx(folder / "table.xlsx")
        book = openpyxl.load_workbook(folder / "table.xlsx")
        for sheet in book:
            for cell in (cell for row in sheet.iter_rows() for cell in row):
                ours = cell.data_type == "f" and re.fullmatch(r"=SUM\([A-Z]+\d+:[A-Z]+\d+\)", cell.value)  # a total
                assert (cell.data_type != "f" or ours) and cell.hyperlink is None
                if isinstance(cell.value, str) and not ours:
                    no_formula_of_a_spreadsheet(cell.value)


def fuzz_pictures(data: bytes) -> None:
    """The same words drawn: an SVG holds no element of theirs, a picture's description no hidden character, no word is cut off."""
    made, _ = _tables(data[:600])
    with tempfile.TemporaryDirectory(prefix="histkit-fuzz-") as name, refused():
        frames = made.frames((960, 540))
        plain(*(frame.text() for frame in frames), *(frame.alt for frame in frames))
        for written in made.to_picture(Path(name) / "table.svg", (960, 540)):
            page = written.read_text(encoding="utf-8")
            plain(page)
            for element in ElementTree.fromstring(page).iter():
                tag = str(element.tag).rpartition("}")[2]
                assert tag not in ("script", "foreignObject", "a", "image", "iframe", "animate", "set"), tag
                for key, value in element.attrib.items():
                    assert not key.rpartition("}")[2].lower().startswith("on"), key
                    assert not value.strip().lower().startswith(("javascript:", "data:")), value


# -- whole books -------------------------------------------------------------------------------------------------------------


def fuzz_pages(data: bytes) -> None:
    """Formulas in the text of a book: each stands in it as printed, in order; however it is shared out, the rows are the same."""
    book, _ = decode(data)
    passages = find_formulas(book)
    assert all(book[p.start : p.end] == p.text for p in passages)
    assert all(a.end <= b.start for a, b in pairwise(passages)), "passages overlap"
    for p in passages:
        assert p.start <= p.block <= p.end and 1 <= p.first_line <= p.last_line
        body = p.body()
        for position in range(0, len(body.text), 7):
            assert book[body.offset(position)] == body.text[position]
    tables = [_rows_of(book, size) for size in (1_000, 200_000)]
    assert tables[0] == tables[1], "the rows depend on how the work is shared out"
    lines, formulas = (list(csv.reader(io.StringIO(table.decode("utf-8"), newline=""))) for table in tables[0])
    assert len(formulas) <= 1 + len(passages)  # what does not read as a formula has no row
    assert {len(row) for row in lines} == {len(columns("lines"))} and {len(row) for row in formulas} == {len(columns("formulas"))}
    for row in (*lines[1:], *formulas[1:]):
        for cell in row:
            no_formula_of_a_spreadsheet(cell)


def _rows_of(book: str, size: int) -> tuple[bytes, bytes]:
    before, placed = 0, []
    with tempfile.TemporaryDirectory(prefix="histkit-fuzz-") as name:
        for number, part in enumerate(parts_of(book, hk.Source(title="=a book", year=1872), "=book.txt", size)):
            path = Path(name) / f"{number}.part"
            path.write_bytes(worked_out(part))
            placed.append(Placed(opened(path), "=book.txt", before))
            before += placed[-1].part.formulas.rows
        out = []
        for table in ("lines", "formulas"):
            file = io.BytesIO()
            write_csv(file, table, placed)
            out.append(file.getvalue())
    return out[0], out[1]


# -- the shell ---------------------------------------------------------------------------------------------------------------

COMMANDS = ("translate", "find", "press", "batch", "label", "effects", "substitutes", "blend", "trials", "record", "table")
"""The commands that neither open a browser nor read whole folders."""


def fuzz_cli(data: bytes) -> None:
    """The shell answers any words with 0, 1 or 2 and in plain words; nothing is written outside the folder it stands in.

    The first byte chooses the command, the first text is a file `formula.txt`, the others are the words of the call.
    """
    from typer.testing import CliRunner

    from histkit.shell import main as cli

    command = COMMANDS[data[0] % len(COMMANDS)] if data else "translate"
    formula, *words = words_of(data[1:]).split(BETWEEN)
    words = [w.replace("\0", "") for w in words if "/" not in w and ".." not in w and "--restore" not in w][:12]
    here = Path.cwd()
    with tempfile.TemporaryDirectory(prefix="histkit-fuzz-") as name:
        os.chdir(name)
        try:
            Path("formula.txt").write_bytes(formula.encode("utf-8", "surrogateescape"))
            result = CliRunner().invoke(cli.app, [command, *words])
        finally:
            os.chdir(here)
    if result.exception is not None and not isinstance(result.exception, SystemExit):
        raise result.exception
    assert result.exit_code in (0, 1, 2), (result.exit_code, result.output)
    plain(result.stdout, result.stderr)
    if "--json" in words and result.exit_code == 0 and result.stdout:
        json.loads(result.stdout)


HARNESSES: dict[str, Callable[[bytes], None]] = {
    name.removeprefix("fuzz_"): function for name, function in list(globals().items()) if name.startswith("fuzz_")
}

# -- beginnings --------------------------------------------------------------------------------------------------------------

RULE = b"\x1e"
EVIL = "=HYPERLINK(\"http://x\") \x1b[31mred\x07 \u202etxt.exe\u2066 <script>alert(1)</script> ]]> --> & | `x` $a$ [l](javascript:1)"


def beginnings(name: str) -> Iterator[bytes]:
    """Bytes from which the search begins: the printed words, names, records and tables of the project's own tests."""
    yield from {
        "reading": _texts,
        "lookup": _names,
        "records": _records,
        "glossary_tables": _own_tables,
        "exports": _evils,
        "pictures": _evils,
        "pages": _books,
        "cli": _calls,
    }[name]()


def _texts() -> Iterator[bytes]:
    """Every text of the tests of the reader that has a figure or sign in it, and the worked examples of the notebooks."""
    import ast

    root = Path(__file__).parents[2]
    for path in sorted([*(root / "tests" / "reading").glob("*.py"), *(root / "tests" / "published").glob("*.py")]):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Constant) and isinstance(node.value, str) and re.search(r"[\d℥ʒ½℈]|ounce|oz", node.value):
                yield node.value[:2000].encode("utf-8", "surrogateescape")
    for name in demo.names():
        yield demo.record(name).text.encode()
    for path in sorted((root / "notebooks").glob("*.ipynb")):
        for cell in json.loads(path.read_text(encoding="utf-8"))["cells"]:
            yield "".join(cell["source"])[:2000].encode()


def _names() -> Iterator[bytes]:
    for table in ("printed_names", "hazards"):
        with (Path(__file__).parents[1] / "glossary" / f"{table}.csv").open(encoding="utf-8", newline="") as file:
            yield from (next(iter(row.values())).encode() for row in csv.DictReader(file))


def _records() -> Iterator[bytes]:
    yield BASE.to_json().encode()
    yield Record(text="Talc 4 oz.", pressing=None).to_json().encode()
    for at in range(0, 256, 3):
        yield bytes([at, at * 7 % 256, at * 5 % 256, at * 11 % 256]) + b"\0\0\0\0" + b"Talc, 4 oz.\nRice starch, 2 oz."


def _own_tables() -> Iterator[bytes]:
    heads = {
        "ingredients": "id,name,inci,cas,formula,kind,state,description,source\nlarkspur-bloom-powder,larkspur,,,,botanical,powder,petals,mine",
        "names": "ingredient,name,language,form,period,region,certainty,source\ntalc,Larkspur's earth,en,trade,,,certain,mine",
        "properties": "ingredient,property,low,high,unit,condition,source,note\ntalc,density,2.7,2.8,g/mL,,mine,",
        "cautions": "ingredient,level,text,law,region,form,limit,date,source\ntalc,care,It is dusty.,,,any,,,mine",
        "roles": "ingredient,role,strength,source\ntalc,slip,main,mine",
    }
    for name, table in heads.items():
        yield f"{name}\n{table}\n".encode()
    yield RULE.join(f"{name}\n{table}\n".encode() for name, table in heads.items())


def _evils() -> Iterator[bytes]:
    yield EVIL.encode()
    for piece in ("=1+1", "\t@x", "\r\n+1", " -2", "＝1", "- x", "1. x", "---", "$x$ ~~y~~", "\ufffe\uffff", "\u2028a\u2029", "\u061c\u00ad",
                  "a\\|b", "\\", "<!-- x", "]]>", "'\"&amp;", "javascript:alert(1)", "{{x}} {% x %}", "x" * 300, ""):  # fmt: skip
        yield f"{piece}{BETWEEN}powder{BETWEEN}{EVIL}".encode()
    yield b"\xff\xfe" + RULE + b"\xed\xa0\x80"


def _books() -> Iterator[bytes]:
    import invented_books

    for seed in range(6):
        yield invented_books.invented_book(seed, formulas=4).text.encode()
    yield from _texts()


def _calls() -> Iterator[bytes]:
    formula = "Powdered talc, 4 oz.\nRice starch, 2 oz.\nWhite lead, 1 oz."
    lead = "lead-carbonate=zinc-oxide:0.7,titanium-dioxide:0.3"
    calls = (
        "translate formula.txt --explain", "translate formula.txt --json --year 1872 --country GB", "find flake white", "find zinc --json",
        f"press formula.txt --instead {lead} --binder zinc-stearate --oil none --pans 3 --pan 44x4 --press arbor",
        f"press formula.txt --instead {lead} --json --wet rectified-spirit=0.2 --oil-drops 12/50 --also talc=0.02",
        f"batch formula.txt --instead {lead} --grams 60 --readability 0.01 --minimum 0.2 --number 7 --price talc=0.02 --currency EUR",
        f"batch formula.txt --instead {lead} --have talc=120 --to sheet.html --to sheet.md --json", f"label formula.txt --instead {lead} --rinse-off",
        f"effects formula.txt --instead {lead} --loose", "substitutes white lead --role opacity --avoid talc --limit 3",
        "blend formula.txt --remove lead-carbonate --with zinc-oxide --with titanium-dioxide --bound titanium-dioxide=0.02:0.1",
        f"trials formula.txt --instead {lead} --around 0.05 --count 3 --grams 5 --step 0.01 --vary oil", "record --schema", "record formula.txt",
        f"table formula.txt --instead {lead} --to t.csv --to t.html --to t.md", "table formula.txt --size 640x360 --json",
    )  # fmt: skip
    for call in calls:
        command, *words = call.split(" ")
        yield bytes([COMMANDS.index(command)]) + BETWEEN.join([formula, *words]).encode()
