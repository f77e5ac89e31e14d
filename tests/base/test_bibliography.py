"""One table of works: every table cites from it, each work is cited, none stands twice."""

import csv
import re
from collections import Counter
from collections.abc import Iterator
from itertools import pairwise
from pathlib import Path

import pytest

from histkit.base import bibliography, tables
from histkit.base.bibliography import MARKS, Work, cite, cited, marked, sourced, works
from histkit.base.errors import TableError
from histkit.measures import units

WELL_KNOWN = {"exact", "seen", "computed", "memory", "common practice"}
"""What a `mark` column may say."""

INHERITED = "convention_units.csv"
"""Here an empty source is that of the unit in units.txt, and an empty mark too."""


def every_table() -> Iterator[tuple[str, list[dict[str, str]]]]:
    """Every CSV table of the glossary and of the rooms, by its path."""
    for path in sorted([*tables.data_folder().glob("*.csv"), *tables.PACKAGE.glob("*/*.csv")]):
        with path.open(encoding="utf-8", newline="") as file:
            yield path.relative_to(tables.PACKAGE.parent).as_posix(), list(csv.DictReader(file))


TABLES = dict(every_table())
CITING = {name: rows for name, rows in TABLES.items() if rows and "source" in rows[0]}


def test_there_are_tables_to_look_at():
    assert len(CITING) >= 30 and {"glossary/names.csv", "histkit/bench/faults.csv", "histkit/measures/drops.csv"} <= CITING.keys()


def test_every_source_is_a_work_or_a_mark():
    faults = Counter(
        (name, row["source"])
        for name, rows in CITING.items()
        for row in rows
        if row["source"] not in works() and not (row["source"] == "" and name.endswith(INHERITED))
    )
    faults.update(("histkit/measures/units.txt", unit.source) for unit in units().values() if unit.source not in works())
    assert not faults


def test_marks_are_rows_of_the_table_too():
    assert set(MARKS) <= works().keys()


def test_a_section_stands_beside_a_work():
    faults = [
        (name, number, row["section"])
        for name, rows in CITING.items()
        for number, row in enumerate(rows, start=2)
        if row.get("section") and row["source"] in ("", *MARKS)
    ]
    faults += [(unit.name, 0, unit.section) for unit in units().values() if unit.section and unit.source in MARKS]
    assert not faults


def test_a_mark_fits_its_source():
    """What was seen was seen in a work; recalled and common practice say so on both sides."""
    faults = []
    for name, rows in TABLES.items():
        for number, row in enumerate(rows, start=2):
            mark, source = row.get("mark"), row.get("source")
            if mark is None or (source == "" and name.endswith(INHERITED)):
                continue
            wrong = mark not in WELL_KNOWN or (mark == "seen" and source in MARKS)
            wrong |= mark == "common practice" and source not in (None, "common-practice")
            wrong |= source == "memory" and mark not in ("memory", "computed")
            if wrong:
                faults.append((name, number, mark, source))
    faults += [(unit.name, 0, unit.mark, unit.source) for unit in units().values() if unit.mark == "seen" and unit.source in MARKS]
    assert not faults


def test_every_work_is_cited_or_says_why_it_is_there():
    used = {row["source"] for rows in CITING.values() for row in rows} | {unit.source for unit in units().values()}
    idle = [work.id for work in works().values() if work.id not in used and "cited by the tests" not in work.note]
    assert not idle


def test_what_is_there_for_the_tests_is_in_the_tests():
    """The notes of works that no table cites give the word by which the tests name them."""
    words = "".join(path.read_text(encoding="utf-8") for path in Path(__file__).parent.parent.rglob("*.py"))
    for work in works().values():
        if "cited by the tests" in work.note:
            named = re.search(r"cited by the tests as '([^']+)'", work.note)
            assert named and named[1] in words, work.id


def plain(text: str) -> str:
    return " ".join(re.findall(r"\w+", text.casefold()))


def test_no_two_rows_name_the_same_work():
    listed = list(works().values())
    for one in ("title", "address"):
        names = Counter(
            plain(work.title) if one == "title" else work.where for work in listed if one == "title" or work.where.startswith("http")
        )
        assert [name for name, times in names.items() if times > 1] == [], one
    # 'kings-1898' and 'kings-1898-preparations' would be chapters of one book: chapters belong into `section`
    assert [(a, b) for a in works() for b in works() if b.startswith(f"{a}-")] == []
    # nor may one title go on where another ends
    titles = sorted(plain(work.title) for work in listed)
    assert [(a, b) for a, b in pairwise(titles) if b.startswith(a + " ")] == []


def test_ids_and_years_are_well_formed():
    assert [key for key in works() if not re.fullmatch(r"[a-z][a-z0-9]*(?:[.-][a-z0-9]+)*", key)] == []
    years = [work.year for work in works().values() if work.year]
    assert [year for year in years if not re.fullmatch(r"(?:about )?[12]\d{3}", year)] == []
    in_ids = [(key, work.year) for key, work in works().items() if (found := re.search(r"-(1[5-9]\d\d)$", key)) and found[1] not in f"{work.year} {work.title}"]
    assert in_ids == [], "a year at the end of an id is the year of the work"


# -- how a citation reads -------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("source", "section", "mark", "words"),
    [
        ("weights-and-measures-act-1824", "", "", "Weights and Measures Act 1824 (5 Geo. IV c. 74)"),  # the year once
        ("harkins-brown-1919", "table of factors", "seen", "W. D. Harkins and F. E. Brown, drop weight corrections (1919), table of factors"),
        ("international-system", "", "exact", "International System of Units (exact by definition)"),
        ("international-system", "", "memory", "International System of Units (from memory)"),
        ("international-system", "", "computed", "International System of Units (computed)"),
        ("dick-1872", "nos 1094-1096", "", "Dick's Encyclopedia of Practical Receipts and Processes (about 1872), nos 1094-1096"),
        ("common-practice", "", "common practice", "common practice, no source"),  # the mark once
        ("memory", "", "memory", "from memory"),
    ],
)  # fmt: skip
def test_a_work_in_words_with_its_year_section_and_mark(source, section, mark, words):
    assert cite(source, section, mark) == words


def test_works_of_others_may_be_cited_too():
    own = {"my-aunt": Work("my-aunt", "My aunt's receipt book", year="1931")}
    assert cite("my-aunt", "p. 3", known=own) == "My aunt's receipt book (1931), p. 3"


def test_a_row_in_words():
    row = {"source": "royle-1865", "section": "p. 6", "mark": "computed", "source_note": "rounded"}
    title = "J. F. Royle and F. W. Headland, A Manual of Materia Medica and Therapeutics (1865), p. 6"
    assert cited(row) == f"{title}; rounded" and cited(row, mark=True) == f"{title} (computed); rounded"
    assert cited({"source": "common-practice", "mark": "common practice"}, mark=True) == "common practice, no source"


def test_a_mark_before_a_citation():
    assert marked("seen", "A book, p. 3") == "seen: A book, p. 3"
    assert marked("common practice", "common practice, no source") == "common practice, no source"


def test_an_unknown_work_is_an_error_that_says_where_works_are():
    with pytest.raises(TableError, match=r"glossary/sources\.csv, column 'id': it has no work 'nobody'; add it there"):
        cite("nobody")


@pytest.mark.parametrize(
    ("rows", "words"),
    [
        ([{"source": "memory"}, {"source": "nobody"}], r"histkit/bench/x\.csv, row 3, column 'source': .* has no work 'nobody'"),
        ([{"source": "memory", "section": "p. 3"}], r"histkit/bench/x\.csv, row 2, column 'section': 'p\. 3' belongs to a work"),
        ([{"source": "", "section": "p. 3"}], r"row 2, column 'section'"),
    ],
)
def test_a_table_that_cites_nobody_is_named_with_its_row_and_column(monkeypatch, rows, words):
    monkeypatch.setattr(tables, "read", lambda name: rows)
    with pytest.raises(TableError, match=words):
        sourced.__wrapped__("bench/x")


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("id,name,where,year,note\na,b,,,\n", r"row 1: the columns wanted are id, title, where, year, note"),
        ("id,title,where,year,note\na,b,,,\na,c,,,\n", r"column 'id': 'a' stands there twice"),
        (None, r"the table of works is missing"),
    ],
)
def test_a_table_of_works_that_cannot_be_read(tmp_path, monkeypatch, text, words):
    if text is not None:
        (tmp_path / "sources.csv").write_text(text, encoding="utf-8")
    monkeypatch.setattr(tables, "data_folder", lambda: tmp_path)
    with pytest.raises(TableError, match=words):
        bibliography.works.__wrapped__()
