"""Printed words stand in the tables and nowhere else: the code of the reader compares kinds, keys and canonical units alone."""

import ast
import re
from pathlib import Path

import pytest

import histkit
from histkit.reading import arranging, figures, layout, measure, tokens, vocabulary

PACKAGE = Path(histkit.__file__).parent
READ_NOTHING = ("__init__", "formula", "numerals")
"""The public names, the noun that comes of reading, and the letters of numerals, which are no words."""
MODULES = [path for path in sorted((PACKAGE / "reading").glob("*.py")) if path.stem not in READ_NOTHING]
MODULES += [PACKAGE / "books" / f"{name}.py" for name in ("evidence", "vocabulary")]
SIGNS = set("℥ʒ℈♏℔")
WORDS = re.compile(r"(?:[^\W\d_]+[ '-]?)+")
"""Letters, or several words of them."""
TAKE_KINDS = {"word_list", "stems", "pattern", "heads", "table", "read", "map", "Doubt"}
"""Functions whose arguments are names of kinds and tables, or sentences for people."""


def keys():
    """The words of the code itself: canonical units, kinds of tokens, measures, figures and statements, keys of the tables."""
    columns = [
        ("phrases", "kind"), ("phrases", "when"), ("phrases", "value"), ("numbers", "kind"), ("numbers", "language"),
        ("other_units", "kind"), ("directions", "kind"), ("units", "sort"), ("patterns", "capitals"),
        ("metric_countries", "without_year"), ("signs", "clean"), ("arranging", "sign"),
    ]  # fmt: skip
    own = {row[column] for name, column in columns for row in vocabulary.table(name) if column != "clean"}
    own |= {entry.unit for entry in vocabulary.units().values()} | {"millilitre", "none", "q.s."}
    own |= {*tokens.KINDS, *measure.KINDS, *measure.EACH, *figures.FLAVOURS, *layout.KINDS, *arranging.JOINTS, *tokens._pattern()[0].groupindex}
    return own | {"name", "short", "L", "R"}


KEYS = keys()


def is_printed(text):
    """Whether a string is a word as a book prints it, and no key of the code."""
    if SIGNS & set(text):
        return len(text) <= 2
    return bool(WORDS.fullmatch(text)) and any(map(str.isalpha, text)) and text not in KEYS


def strings(node):
    """The strings of an expression, without the names of columns in `row["kind"]` and of kinds in `word_list("of")`."""
    if isinstance(node, ast.Constant):
        return [node.value] if isinstance(node.value, str) else []
    if isinstance(node, ast.Call) and name_of(node) in TAKE_KINDS:
        return []
    parts = [node.value] if isinstance(node, ast.Subscript) else ast.iter_child_nodes(node)
    return [text for part in parts for text in strings(part)]


def name_of(call):
    return call.func.attr if isinstance(call.func, ast.Attribute) else getattr(call.func, "id", "")


class Comparisons(ast.NodeVisitor):
    """Collects the strings that are compared, or that stand in a collection that could be."""

    def __init__(self):
        self.words = set()

    def take(self, node, parts):
        self.words |= {(node.lineno, text) for part in parts for text in strings(part) if is_printed(text)}

    def visit_Compare(self, node):
        self.take(node, [node.left, *node.comparators])

    def visit_Call(self, node):
        if name_of(node) in TAKE_KINDS:
            return
        if name_of(node) in ("startswith", "endswith", "split", "fromkeys", "frozenset", "set"):
            self.take(node, [*node.args, node.func])
        self.generic_visit(node)

    def visit_Assign(self, node):
        if getattr(node.targets[0], "id", "") != "__slots__":
            self.generic_visit(node)

    def collection(self, node):
        self.take(node, [part for part in node.elts if isinstance(part, ast.Constant)])
        self.generic_visit(node)

    visit_Set = visit_List = visit_Tuple = collection

    def visit_Dict(self, node):
        self.take(node, [key for key in node.keys if isinstance(key, ast.Constant)])
        self.generic_visit(node)


def compared(source):
    found = Comparisons()
    found.visit(ast.parse(source))
    return sorted(found.words)


def words_in_patterns(source):
    """Words of three letters and more in the regular expressions of a module."""
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute) and getattr(node.func.value, "id", "") == "re":
            written = [part for part in node.args[:1] if isinstance(part, ast.Constant | ast.JoinedStr)]
            pieces = [piece for part in written for piece in getattr(part, "values", [part]) if isinstance(piece, ast.Constant)]
            for text in (piece.value for piece in pieces):
                bare = re.sub(r"\\u[0-9a-f]{4}|\(\?P<\w+>|\\.|\[(?:\\.|[^\]\\])*\]|\{\w+\}", " ", text)
                yield from ((node.lineno, word) for word in re.findall(r"[^\W\d_]{3,}", bare))


@pytest.mark.parametrize("path", MODULES, ids=lambda path: f"{path.parent.name}/{path.name}")
def test_no_printed_word_is_compared_in_code(path):
    assert compared(path.read_text(encoding="utf-8")) == []


@pytest.mark.parametrize("path", MODULES, ids=lambda path: f"{path.parent.name}/{path.name}")
def test_no_regular_expression_is_made_of_words(path):
    assert list(words_in_patterns(path.read_text(encoding="utf-8"))) == []


@pytest.mark.parametrize(
    ("source", "word"),
    [
        ("x.word == 'therewith'", "therewith"),
        ("x.word in ('word', 'perfume')", "perfume"),
        ("WORDS = frozenset({'oil'})", "oil"),
        ("'oil ottar'.split()", "oil ottar"),
        ("x.text.startswith('colour')", "colour"),
        ("x == '℥'", "℥"),
        ("UNITS = {'ʒ': 1}", "ʒ"),
    ],
)
def test_the_check_sees_a_word_in_any_of_these_places(source, word):
    assert compared(source) == [(1, word)]


def test_the_check_sees_a_word_in_a_regular_expression():
    assert list(words_in_patterns(r"re.compile(r'\b(?:of|esprit)\b[a-z]+')")) == [(1, "esprit")]


def test_every_list_of_words_is_asked_for():
    """A kind that no module names is a table row that does nothing."""
    source = "".join(path.read_text(encoding="utf-8") for path in MODULES)
    kinds = {row["kind"] for row in vocabulary.table("figure_words")}
    assert {kind for kind in kinds if f'"{kind}"' not in source} == set()
    assert {row["name"] for row in vocabulary.table("patterns") if f'"{row["name"]}"' not in source} == set()


def test_every_modifier_stands_in_one_table():
    assert not (PACKAGE / "reading" / "modifiers.csv").exists()
    assert vocabulary.modifiers()["pulv"] == "powdered"
