"""The harnesses of `make fuzz`, alive in every run of the tests: some of their beginnings, and bytes that Hypothesis makes of them."""

import random
from functools import cache

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from fuzz import harnesses, run

EXAMPLES = {"reading": 60, "lookup": 60, "records": 60, "glossary_tables": 4, "exports": 15, "pictures": 2, "pages": 25, "cli": 15}
QUIET = {"derandomize": True, "deadline": None, "suppress_health_check": list(HealthCheck), "database": None}


@cache
def beginnings(name):
    return list(harnesses.beginnings(name))


def test_every_harness_is_searched_and_tried():
    assert set(run.NAMES) == set(harnesses.HARNESSES) == set(EXAMPLES)


@pytest.mark.parametrize("name", run.NAMES)
def test_what_must_hold_holds_for_some_of_the_beginnings(name):
    known = beginnings(name)
    for data in random.Random(7).sample(known, min(EXAMPLES[name], len(known))):
        harnesses.HARNESSES[name](data)


@st.composite
def mangled(draw, name):
    """Bytes of a beginning, with some bytes or hostile words put over or into them; sometimes any bytes."""
    data = bytearray(draw(st.sampled_from(beginnings(name)) | st.binary(max_size=200)))
    for _ in range(draw(st.integers(0, 4))):
        at = draw(st.integers(0, len(data)))
        over = draw(st.integers(0, 6))
        data[at : at + over] = draw(st.binary(max_size=4) | st.sampled_from(HOSTILE))
    return bytes(data)


HOSTILE = [harnesses.EVIL.encode(), harnesses.RULE, b"\0", b"\xff", b"\x1b[2J", "\u202e".encode(), b"\r", b"1e400", b"9" * 400, b"nan", b"<b>", b"=1+1"]


@pytest.mark.parametrize("name", run.NAMES)
def test_what_must_hold_holds_for_mangled_bytes(name):
    @given(mangled(name))
    @settings(max_examples=EXAMPLES[name], **QUIET)
    def tried(data):
        harnesses.HARNESSES[name](data)

    tried()


@pytest.mark.parametrize(
    "shown",
    ["\x1b[31m", "\x07", "a\u202eb", "\u2066", "\u061c", "\ud800", "\x85", "\r"],
)
def test_the_watch_for_hidden_characters_sees_them(shown):
    with pytest.raises(AssertionError):
        harnesses.plain(f"talc {shown} 4 oz.")


def test_the_watch_over_pages_cells_and_markdown_sees_what_is_wrong():
    for page in ("<p>x<script></p>", "<p onclick=x>x</p>", "<p>x<!-- y --></p>", '<p><a href="x">x</a></p>'):
        with pytest.raises(AssertionError):
            harnesses.no_markup_of_the_maker(page, "<p>x</p>")
    for cell in ("=1", " +1", "\t1", "@x", "＝1"):
        with pytest.raises(AssertionError):
            harnesses.no_formula_of_a_spreadsheet(cell)
    for cell in ("[x](y)", "a*b*", "`x`", "$x$", "<b>", "- x", "1. x", "\\\\*x"):
        with pytest.raises(AssertionError):
            harnesses.no_markdown_of_the_maker(cell)
    harnesses.no_markdown_of_the_maker(r"\[x\](y) \*b\* 1.5 g - x")


def test_the_search_says_kindly_that_atheris_is_lacking(monkeypatch, capsys):
    import sys

    monkeypatch.setitem(sys.modules, "atheris", None)
    monkeypatch.setattr(sys, "argv", ["run.py", "lookup"])
    assert run.main() == 2
    assert "pip install -e '.[fuzz]'" in capsys.readouterr().err
