"""Printed lines → statements: where a column of entries stands, which lines belong together, where sentences run on."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import pairwise

from histkit.glossary.lookup import knows
from histkit.reading.dividing import ends_title
from histkit.reading.measure import OF_THE_WHOLE, Measure
from histkit.reading.view import View
from histkit.reading.vocabulary import TAKE, units, word_list
from histkit.reading.wording import Wording

KINDS = ("column", "running", "member", "heading")
"""The kinds of statements."""
_BROKEN_OFF, _WRAPS, _OTHER_NAME = word_list("broken-off"), word_list("wraps"), word_list("other-name")
_PARTS = word_list("part-of-a-fruit-or-egg")
_FEW_CROSS = 6
"""Of how many amounts of a column one may run over the end of its line."""
_A_LIST = 2
"""Commas in a line from which on it holds several names."""
_LONGEST_ENTRY = 9
"""Tokens, less than which a line that ends with a comma has if it waits for its amount."""


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
    """One of `KINDS`: member is a line of a group, heading one without a measure."""
    members: list[tuple[int, int]] = field(default_factory=list)
    followers: list[tuple[int, int]] = field(default_factory=list)
    braced: bool = False


def paragraphs(view: View) -> list[tuple[int, int]]:
    """Ranges of tokens between blank lines."""
    ends = view.by_kind["para"]
    starts = [0, *(end + 1 for end in ends)]
    return [(a, b) for a, b in zip(starts, [*ends, len(view.tokens)], strict=True) if a < b]


def printed_lines(view: View, a: int, b: int) -> Iterator[tuple[int, int]]:
    """The printed lines of tokens a…b that hold anything."""
    start = a
    for end in [*view.breaks[bisect_left(view.breaks, a) : bisect_left(view.breaks, b)], b]:
        if end > start:
            yield start, end
        start = end + 1


def rows_of(view: View, a: int, b: int, measures: list[Measure], text: str) -> tuple[list[Row], int]:
    """The printed lines of a paragraph, and how many measures run over a line end."""
    rows = [_row(view, first, last, text) for first, last in printed_lines(view, a, b)]
    crossing = 0
    at = 0
    for m in measures:  # both are in printed order
        while at < len(rows) and rows[at].last <= m.first:
            at += 1
        if at < len(rows) and rows[at].first <= m.first:
            rows[at].measures.append(m)
            crossing += m.last > rows[at].last
    return rows, crossing


def _row(view: View, first: int, last: int, text: str) -> Row:
    """The printed line of the tokens first…last."""
    tokens = view.tokens[first:last]
    begin = text.rfind("\n", 0, tokens[0].start + 1) + 1
    counts = tokens[1] if tokens[0].kind == "gap" and len(tokens) > 1 else tokens[0]
    braces = (token.start for token in tokens if token.kind == "brace" and token.text in "}|")
    brace = next(braces, None) if view.by_kind["brace"] else None
    if brace is None:
        return Row(first, last, counts.start - begin)
    return Row(first, last, counts.start - begin, brace=brace - begin, tight=not text[brace - 1].isspace())


def is_column(wording: Wording, rows: list[Row], crossing: int) -> bool:
    """Whether the lines are entries of a column: each amount at an end of its line, one to a line."""
    measured = [row for row in rows if any(m.kind != "percent" for m in row.measures)]
    if not measured or crossing * _FEW_CROSS > len(measured):
        return False
    listing = sum(_lists_names(wording, row) for row in rows if not row.measures)
    if sum(_like_an_entry(wording, row) for row in measured) / (len(measured) + listing) < 0.7:
        return False
    # A sentence that happens to break after its amounts goes on in lower case after an 'and' or without any stop.
    lower = sum(_starts_lower(wording, row) and not _ends_with_a_stop(wording, above) for above, row in pairwise(rows))
    gaps = sum(_has_gap(wording, row) for row in measured)
    broken = not gaps and any(_breaks_a_name(wording, above, row) for above, row in pairwise(rows))
    return not broken and not (lower > len(rows) * 0.6 and gaps < len(measured) / 2 and len(measured) < 0.8 * len(rows))


def _breaks_a_name(wording: Wording, above: Row, row: Row) -> bool:
    """Whether two printed lines with amounts part a name, as those of a sentence do: 'a dram of rose / leaves, two ounces of'."""
    last = wording.tokens[above.last - 1]
    if not (above.measures and row.measures and last.kind == "word") or last.dot or above.measures[-1].last >= above.last:
        return False
    return _starts_lower(wording, row) and wording.view.solid[row.first] < row.measures[0].first


def _ends_with_a_stop(wording: Wording, row: Row) -> bool:
    """Whether a printed line ends with an amount and a full stop or a semicolon behind it: 'gum arabic, 10.0 parts.'"""
    last = wording.tokens[row.last - 1]
    stopped = last.text in (".", ";") or (last.dot and last.word in units())
    return stopped and bool(row.measures) and row.measures[-1].last >= row.last - 1


def _like_an_entry(wording: Wording, row: Row) -> bool:
    """Whether a printed line has one amount and that at its end or at its beginning, or a gap before its amounts."""
    own = [m for m in row.measures if m.kind not in ("percent", *OF_THE_WHOLE)]
    own = [m for m in own if m.kind != "bare"] or own
    if not own or _broken_off(wording, row):
        return False
    at_end = not wording.has_name(own[-1].last, row.last)
    at_start = not wording.is_nominal(row.first, own[0].first)
    one = len(own) == 1 or (len(own) == 2 and (own[1].each or own[0].last >= own[1].first - 1))
    if one and (at_end or at_start or wording.view.words[own[0].first - 1] in _PARTS):
        return True  # the last is 'juice one lemon'
    # a table of several formulas side by side has nothing but figures at the end of each line
    return _has_gap(wording, row) and at_end and (len(own) <= 2 or all(m.kind == "bare" for m in own))


def _lists_names(wording: Wording, row: Row) -> bool:
    """Whether a printed line without an amount holds several names, as the lines of a sentence do: 'Myrrh, roses, bone of a'."""
    commas = [i for i in range(row.first, row.last) if wording.tokens[i].text == ","]
    several = len(commas) >= _A_LIST and wording.is_nominal(row.first, commas[0]) and wording.is_nominal(commas[0], commas[1])
    return several or _broken_off(wording, row)


def _broken_off(wording: Wording, row: Row) -> bool:
    """Whether a printed line ends as no entry does: 'Take of gum arabic, cream of'."""
    ends = wording.tokens[row.last - 1]
    return ends.word in _BROKEN_OFF and not ends.dot


def _has_gap(wording: Wording, row: Row) -> bool:
    return any(token.kind == "gap" for token in wording.tokens[row.first + 1 : row.last])


def _starts_lower(wording: Wording, row: Row) -> bool:
    i = wording.view.solid[row.first]
    return i < row.last and wording.tokens[i].kind == "word" and wording.tokens[i].text[:1].islower()


def statements(wording: Wording, measures: list[Measure], text: str) -> list[Statement]:
    """All statements of the text in order; every token that is not a line end lies in exactly one."""
    view = wording.view
    so_far: list[Statement] = []
    pending: list[tuple[int, int]] = []
    firsts = [m.first for m in measures]
    for a, b in paragraphs(view):
        inside = measures[bisect_left(firsts, a) : bisect_left(firsts, b)]
        rows, crossing = rows_of(view, a, b, inside, text)
        if is_column(wording, rows, crossing) or (pending and len(rows) == 1 and inside):
            pending = _column(wording, rows, so_far, pending)
            continue
        _flush(so_far, pending)
        pending = []
        if len(rows) == 1 and not inside and _open_ended(wording, rows[0]):
            pending = [(rows[0].first, rows[0].last)]
        else:
            so_far.append(Statement(a, b, inside, "running" if inside else "heading"))
    _flush(so_far, pending)
    return so_far


def _open_ended(wording: Wording, row: Row) -> bool:
    """A line that waits for more: it ends with a comma (an entry whose amount stands further down)."""
    short = row.last - row.first < _LONGEST_ENTRY
    return short and wording.tokens[row.last - 1].text == "," and wording.is_nominal(row.first, row.last)


def _flush(so_far: list[Statement], pending: list[tuple[int, int]]) -> None:
    so_far.extend(Statement(i, j, [], "heading") for i, j in pending)


def _column(wording: Wording, rows: list[Row], so_far: list[Statement], pending: list[tuple[int, int]]) -> list[tuple[int, int]]:
    """Statements of a column. Returns the lines at its end that still wait for an amount."""
    index = 0
    while index < len(rows):
        row = rows[index]
        if row.brace is not None:
            index = _braced(wording, rows, index, so_far, pending)
            pending = []
            continue
        index += 1
        if row.measures:
            first, members = _lines_above(wording, row, so_far, pending)
            so_far.append(Statement(first, row.last, row.measures, "column", members))
            pending = []
        elif _continues(wording, rows, index - 1, so_far):
            so_far[-1].last = row.last
        elif _ends_the_name(wording, rows, index - 1, so_far):
            so_far[-1].last, so_far[-1].measures = row.last, [so_far[-1].measures[0]._replace(kind="interior")]
        elif _is_direction_row(wording, row):
            _flush(so_far, pending)
            pending = []
            so_far.append(Statement(row.first, row.last, [], "heading"))
        else:
            pending.append((row.first, row.last))
    return pending


def _lines_above(
    wording: Wording, row: Row, so_far: list[Statement], pending: list[tuple[int, int]]
) -> tuple[int, list[tuple[int, int]]]:
    """Where the entry of a row begins, and the lines above it that share its amount; other lines above become headings."""
    if not pending:
        return row.first, []
    own = row.measures
    grouped = any(m.each == "before" or (m.each == "after" and not wording.has_name(m.last, row.last)) for m in own)
    wraps = _wraps(wording, pending[-1], row)
    if not grouped:
        around = ((row.first, own[0].first), (own[-1].last, row.last))
        alone = len(own) == 1 and not any(wording.is_nominal(a, b) for a, b in around)
        first = pending.pop()[0] if wraps or (alone and not _looks_like_title(wording, *pending[-1])) else row.first
        _flush(so_far, pending)
        return first, []
    takes_last = wraps or not wording.is_nominal(row.first, own[0].first)
    first = pending.pop()[0] if takes_last else row.first
    return first, _members(wording, pending, so_far)


def _members(wording: Wording, pending: list[tuple[int, int]], so_far: list[Statement]) -> list[tuple[int, int]]:
    """The lines above an 'of each' that belong to it; a title among them is set apart."""
    if pending and not so_far and _looks_like_title(wording, *pending[0]) and len(pending) > 1:
        so_far.append(Statement(*pending[0], [], "heading"))
        return pending[1:]
    return list(pending)


def _looks_like_title(wording: Wording, a: int, b: int) -> bool:
    last = wording.tokens[b - 1]
    if last.text in (".", ":") or all(t.text.isupper() for t in wording.tokens[a:b] if t.kind == "word"):
        return True
    return last.kind == "word" and last.dot and not wording.latin and wording.tokens[a].text != "℞"


def _wraps(wording: Wording, above: tuple[int, int], row: Row) -> bool:
    """Whether the line above is the beginning of this row's entry."""
    tokens = wording.tokens[above[0] : above[1]]
    if tokens[-1].word in _WRAPS or any(t.word in _OTHER_NAME for t in tokens):
        return True
    return _starts_lower(wording, row) and any(t.kind == "word" for t in tokens) and not ends_title(wording, above[1] - 1)


def _continues(wording: Wording, rows: list[Row], index: int, so_far: list[Statement]) -> bool:
    """Whether a line without an amount goes on with the entry above it (amount first, name too long for its line)."""
    if not so_far or so_far[-1].kind != "column" or index == 0 or so_far[-1].last != rows[index - 1].last:
        return False
    m = so_far[-1].measures[-1] if so_far[-1].measures else None
    if m is None or not wording.has_name(m.last, so_far[-1].last):
        return False
    row = rows[index]
    return row.indent > rows[index - 1].indent + 1 or (_starts_lower(wording, row) and not _is_another_name(wording, row, m.last))


def _ends_the_name(wording: Wording, rows: list[Row], index: int, so_far: list[Statement]) -> bool:
    """Whether a line without an amount ends a name that stands before its amount in the line above: 'Potassium  10 parts',
    'bichromate'. The glossary must know the two together."""
    above = so_far[-1] if so_far and so_far[-1].kind == "column" and so_far[-1].last == rows[index - 1].last else None
    if above is None or len(above.measures) != 1 or above.measures[0].each or above.measures[0].last != above.last:
        return False
    words = [token.text for token in wording.tokens[above.first : above.measures[0].first] if token.kind == "word"]
    row = rows[index]
    behind = [token.text for token in wording.tokens[row.first : row.last] if token.kind != "gap"]
    if not (words and behind and words[0][0].isupper() and all(word.isalpha() and word.islower() for word in behind)):
        return False  # in a list that begins every line small, each is an entry
    return any(knows(" ".join([*words[start:], *behind])) for start in range(len(words)))


def _is_another_name(wording: Wording, row: Row, begins: int) -> bool:
    """Whether a line is a known name and nothing more, and the words from `begins` to the line above end in another one."""
    names = wording.known_in(begins, row.last)
    first = wording.view.solid[row.first]
    whole = any(name.first == first and wording.view.ends_clause(name.last) for name in names)
    return whole and any(name.last >= row.first - 1 and name.last <= first for name in names)


def _is_direction_row(wording: Wording, row: Row) -> bool:
    i = next((i for i in range(wording.view.solid[row.first], row.last) if wording.tokens[i].kind == "word"), row.last)
    named = i < row.last and wording.view.words[i] in TAKE and wording.is_nominal(i + 1, row.last)  # 'Take of myrrh and red'
    return i < row.last and wording.is_direction(i) and not named


def _braced(wording: Wording, rows: list[Row], index: int, so_far: list[Statement], pending: list[tuple[int, int]]) -> int:
    """A brace group: neighbouring lines whose braces stand in one column; its amount stands beside one of them."""
    _flush(so_far, pending)
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
    if owner is None:
        so_far.extend(Statement(r.first, r.last, [], "heading") for r in group)
        return index
    before = [(r.first, r.last) for r in group if r.first < owner.first]
    after = [(r.first, r.last) for r in group if r.first > owner.first]
    so_far.append(Statement(owner.first, owner.last, owner.measures, "column", before, after, braced=True))
    return index
