"""Printed lines → statements: where a column of entries stands, which lines belong together, where sentences run on."""

from __future__ import annotations

from dataclasses import dataclass, field

from histkit.reading.assigning import Assigner
from histkit.reading.measure import OF_THE_WHOLE, Measure
from histkit.reading.measuring import Scanner
from histkit.reading.vocabulary import units, word_list


@dataclass(slots=True)
class Row:
    """One printed line of a column: its tokens, its measures, where it is indented and where a brace stands in it."""

    first: int
    last: int
    indent: int
    measures: list[Measure] = field(default_factory=list)
    brace: int | None = None
    tight: bool = False
    """The brace is set against the name before it, wherever that ends: 'Otto of santal,}'."""


@dataclass(slots=True)
class Statement:
    """A range of tokens that is assigned as one; `members` are lines above without an amount that share its 'of each'."""

    first: int
    last: int
    measures: list[Measure]
    kind: str
    """column, running, member (a line of a group), heading (no measure)."""
    members: list[tuple[int, int]] = field(default_factory=list)
    followers: list[tuple[int, int]] = field(default_factory=list)
    braced: bool = False


def paragraphs(scanner: Scanner) -> list[tuple[int, int]]:
    """Ranges of tokens between blank lines."""
    found, start = [], 0
    for i, token in enumerate(scanner.tokens):
        if token.kind == "para":
            if i > start:
                found.append((start, i))
            start = i + 1
    if start < len(scanner.tokens):
        found.append((start, len(scanner.tokens)))
    return found


def rows_of(scanner: Scanner, a: int, b: int, measures: list[Measure], text: str) -> tuple[list[Row], bool]:
    """The printed lines of a paragraph, and whether a measure runs over a line end."""
    rows: list[Row] = []
    start = a
    for i in range(a, b + 1):
        if i == b or scanner.tokens[i].kind == "line":
            if i > start:
                begin = text.rfind("\n", 0, scanner.tokens[start].start + 1) + 1
                first = start + (scanner.tokens[start].kind == "gap")
                position = scanner.tokens[min(first, i - 1)].start
                rows.append(Row(start, i, position - begin))
            start = i + 1
    crossing = False
    at = 0
    for m in measures:  # both are in printed order
        while at < len(rows) and rows[at].last <= m.first:
            at += 1
        if at < len(rows) and rows[at].first <= m.first:
            rows[at].measures.append(m)
            crossing |= m.last > rows[at].last
    for row in rows:
        begin = text.rfind("\n", 0, scanner.tokens[row.first].start + 1) + 1
        braces = [t.start - begin for t in scanner.tokens[row.first : row.last] if t.kind == "brace" and t.text in "}|"]
        row.brace = braces[0] if braces else None
        row.tight = bool(braces) and not text[begin + braces[0] - 1].isspace()
    return rows, crossing


def is_column(assigner: Assigner, rows: list[Row], crossing: bool) -> bool:
    """Whether the lines are entries of a column: each amount at an end of its line, one to a line."""
    measured = [r for r in rows if any(m.kind != "percent" for m in r.measures)]
    if any(r.brace is not None for r in rows):
        return True
    if not measured or crossing or len(rows) < 2:
        return False
    good = 0
    for row in measured:
        own = [m for m in row.measures if m.kind not in ("percent", *OF_THE_WHOLE)]
        if not own:
            continue
        bare = [m for m in own if m.kind != "bare"]
        own = bare or own
        m = own[-1]
        at_end = not _nominal_after(assigner, m.last, row.last)
        first = own[0]
        at_start = not assigner.nominal(row.first, first.first)
        spaced = any(t.kind == "gap" for t in assigner.tokens[row.first + 1 : row.last])
        one = len(own) == 1 or (len(own) == 2 and (own[1].each or own[0].last >= own[1].first - 1))
        ends = assigner.tokens[row.last - 1]
        figures = spaced and at_end and all(m.kind == "bare" for m in own)  # a table of several formulas side by side
        broken_off = (
            ends.kind == "word" and ends.word in ("and", "of", "in", "a", "an", "the", "with", "to", "or") and not ends.dot
        )
        if not broken_off and ((one and (at_end or at_start)) or (spaced and at_end and (len(own) <= 2 or figures))):
            good += 1
    if good / len(measured) < 0.7:
        return False
    # A sentence that happens to break after its amounts goes on in lower case after an 'and' or without any stop.
    lower = sum(_starts_lower(assigner, r) for r in rows[1:])
    gaps = sum(any(t.kind == "gap" for t in assigner.tokens[r.first + 1 : r.last]) for r in measured)
    return not (lower > len(rows) * 0.6 and gaps < len(measured) / 2 and len(measured) < 0.8 * len(rows))


def _starts_lower(assigner: Assigner, row: Row) -> bool:
    i = assigner.scanner.skip(row.first)
    token = assigner.tokens[i] if i < row.last else None
    return token is not None and token.kind == "word" and token.text[:1].islower()


def _nominal_after(assigner: Assigner, a: int, b: int) -> bool:
    return any(
        assigner.is_name_word(i) and not assigner.scanner.depth[i] and assigner.tokens[i].text not in ("M", "S")
        for i in range(a, b)
    )


def statements(assigner: Assigner, measures: list[Measure], text: str) -> list[Statement]:
    """All statements of the text in order; every token that is not a line end lies in exactly one."""
    scanner = assigner.scanner
    found: list[Statement] = []
    pending: list[tuple[int, int]] = []
    for a, b in paragraphs(scanner):
        inside = [m for m in measures if a <= m.first < b]
        rows, crossing = rows_of(scanner, a, b, inside, text)
        if is_column(assigner, rows, crossing) or (pending and len(rows) == 1 and inside):
            pending = _column(assigner, rows, found, pending)
        else:
            _flush(found, pending)
            unfinished = len(rows) == 1 and not inside and _open_ended(assigner, rows[0])
            if unfinished:
                pending = [(rows[0].first, rows[0].last)]
            else:
                pending = []
                found.append(Statement(a, b, inside, "running" if inside else "heading"))
    _flush(found, pending)
    return found


def _open_ended(assigner: Assigner, row: Row) -> bool:
    """A line that waits for more: it ends with a comma (an entry whose amount stands further down)."""
    return assigner.tokens[row.last - 1].text == "," and assigner.nominal(row.first, row.last) and row.last - row.first < 9


def _flush(found: list[Statement], pending: list[tuple[int, int]]) -> None:
    found.extend(Statement(i, j, [], "heading") for i, j in pending)


def _column(assigner: Assigner, rows: list[Row], found: list[Statement], pending: list[tuple[int, int]]) -> list[tuple[int, int]]:
    """Statements of a column. Returns the lines at its end that still wait for an amount."""
    index = 0
    while index < len(rows):
        row = rows[index]
        if row.brace is not None:
            index = _braced(assigner, rows, index, found, pending)
            pending = []
            continue
        if not row.measures:
            if _continues(assigner, rows, index, found):
                found[-1].last = row.last
            elif _is_direction_row(assigner, row) or _unit_header(assigner, row):
                _flush(found, pending)
                pending = []
                found.append(Statement(row.first, row.last, [], "heading"))
            else:
                pending.append((row.first, row.last))
            index += 1
            continue
        own = row.measures
        grouped = any(m.each == "before" or (m.each == "after" and not _nominal_after(assigner, m.last, row.last)) for m in own)
        first = row.first
        members: list[tuple[int, int]] = []
        if pending:
            if grouped and assigner.nominal(row.first, own[0].first):
                if _wraps(assigner, pending[-1], row):
                    first = pending.pop()[0]
                members = _members(assigner, pending, found)
            elif grouped:
                first = pending[-1][0]
                members = _members(assigner, pending[:-1], found)
            elif _wraps(assigner, pending[-1], row):
                first = pending.pop()[0]
                _flush(found, pending)
            else:
                _flush(found, pending)
            pending = []
        found.append(Statement(first, row.last, own, "column", members))
        index += 1
    return pending


def _members(assigner: Assigner, pending: list[tuple[int, int]], found: list[Statement]) -> list[tuple[int, int]]:
    """The lines above an 'of each' that belong to it; a title among them is set apart."""
    if pending and not found and _looks_like_title(assigner, *pending[0]) and len(pending) > 1:
        found.append(Statement(*pending[0], [], "heading"))
        return pending[1:]
    return list(pending)


def _looks_like_title(assigner: Assigner, a: int, b: int) -> bool:
    last = assigner.tokens[b - 1]
    shouting = all(t.text.isupper() for t in assigner.tokens[a:b] if t.kind == "word")
    return (
        shouting
        or last.text in (".", ":")
        or (last.kind == "word" and last.dot and not assigner.latin and assigner.tokens[a].text != "℞")
    )


def _wraps(assigner: Assigner, above: tuple[int, int], row: Row) -> bool:
    """Whether the line above is the beginning of this row's entry."""
    i = assigner.scanner.skip(row.first)
    token = assigner.tokens[i] if i < row.last else None
    last = assigner.tokens[above[1] - 1]
    opened = sum(t.kind == "open" for t in assigner.tokens[above[0] : above[1]]) > sum(
        t.kind == "close" for t in assigner.tokens[above[0] : above[1]]
    )
    if opened:
        return True
    if last.kind == "word" and last.word in ("and", "of", "or", "seu", "the", "with", "in", "et", "vel", "de"):
        return True
    if any(t.word in ("seu", "vel", "sive") for t in assigner.tokens[above[0] : above[1]]):
        return True
    if token is not None and token.kind == "word" and token.text[:1].islower():
        words = [t for t in assigner.tokens[above[0] : above[1]] if t.kind == "word"]
        return bool(words)
    return False


def _continues(assigner: Assigner, rows: list[Row], index: int, found: list[Statement]) -> bool:
    """Whether a line without an amount goes on with the entry above it (amount first, name too long for its line)."""
    if not found or found[-1].kind != "column" or index == 0 or found[-1].last != rows[index - 1].last:
        return False
    row, above = rows[index], rows[index - 1]
    m = found[-1].measures[-1] if found[-1].measures else None
    if m is None or not _nominal_after(assigner, m.last, found[-1].last):
        return False
    return row.indent > above.indent + 1 or _starts_lower(assigner, row)


def _is_direction_row(assigner: Assigner, row: Row) -> bool:
    i = assigner.scanner.skip(row.first)
    while i < row.last and assigner.tokens[i].kind not in ("word",):
        i += 1
    return i < row.last and assigner.is_direction(i)


def _unit_header(assigner: Assigner, row: Row) -> bool:
    words = [t.word for t in assigner.tokens[row.first : row.last] if t.kind == "word"]
    letters = [t.text for t in assigner.tokens[row.first : row.last] if t.kind == "word"]
    if words and all(len(letter) == 1 and letter.isupper() for letter in letters):
        return True  # 'A   B   C' over the columns of a table
    return 0 < len(words) <= 4 and all(w in units() or w in word_list("column-head") for w in words)


def _braced(assigner: Assigner, rows: list[Row], index: int, found: list[Statement], pending: list[tuple[int, int]]) -> int:
    """A brace group: neighbouring lines whose braces stand in one column; its amount stands beside one of them."""
    _flush(found, pending)
    column = rows[index].brace
    assert column is not None
    group = [rows[index]]
    index += 1
    while index < len(rows):
        brace = rows[index].brace
        if brace is None or (abs(brace - column) > 1 and not (rows[index].tight and group[-1].tight)):
            break
        if group[-1].measures and rows[index].measures:
            break
        group.append(rows[index])
        index += 1
    owner = next((r for r in group if r.measures), None)
    if owner is None and index < len(rows) and rows[index].brace is None and rows[index].measures:
        return index  # no amount beside the brace: leave its lines to the row below
    if owner is None:
        found.extend(Statement(r.first, r.last, [], "heading") for r in group)
        return index
    before = [(r.first, r.last) for r in group if r.first < owner.first]
    after = [(r.first, r.last) for r in group if r.first > owner.first]
    found.append(Statement(owner.first, owner.last, owner.measures, "column", before, after, braced=True))
    return index
