"""Columns that a copy has torn apart."""

import pytest

import histkit as hk

NAMES = ["Rice starch", "Talc", "Oxide of zinc", "Orris root"]
AMOUNTS = ["4 oz.", "2 oz.", "1 oz.", "½ oz."]
READ = [(4, "ounce"), (2, "ounce"), (1, "ounce"), (0.5, "ounce")]


def torn(order, gap):
    if order == "names first":
        return gap.join([*NAMES, *AMOUNTS])
    if order == "amounts first":
        return gap.join([*AMOUNTS, *NAMES])
    pairs = zip(NAMES, AMOUNTS, strict=True) if order == "name, amount" else zip(AMOUNTS, NAMES, strict=True)
    return gap.join(piece for pair in pairs for piece in pair)


@pytest.mark.parametrize("order", ["names first", "amounts first", "name, amount", "amount, name"])
@pytest.mark.parametrize("gap", ["\n", "\n\n"], ids=["lines", "blank lines"])
@pytest.mark.parametrize("title", ["", "AN INVENTED POWDER.\n\n"], ids=["bare", "titled"])
def test_each_name_has_its_amount(order, gap, title):
    formula = hk.read(f"{title}{torn(order, gap)}\n\nMix and sift.")
    assert [line.ingredient for line in formula.lines] == NAMES
    assert [(line.amount, line.unit) for line in formula.lines] == READ
    assert formula.directions == "Mix and sift."
    assert formula.title == title.strip(" .\n")


def test_it_is_always_doubted():
    for line in hk.read(torn("names first", "\n")).lines:
        assert any(d.about == "group" and "stand apart" in d.text for d in line.doubts)


def test_figures_without_a_unit_are_parts():
    lines = hk.read("Talc\nZinc oxide\nLard\n4\n2\n1\n").lines
    assert [(line.amount, line.unit) for line in lines] == [(4, "part"), (2, "part"), (1, "part")]


def test_one_line_too_many_is_not_guessed():
    text = "Talc\nStarch\nOrris root\nLard\n4 oz.\n2 oz.\n"
    try:
        lines = hk.read(text).lines
    except hk.ReadingError:
        return
    assert not any("stand apart" in d.text for line in lines for d in line.doubts)


def test_as_much_as_suffices_sets_no_unit():
    lines = hk.read("Talc\nZinc oxide\nLard\n4\n2\nq. s.\n").lines
    assert [(line.amount, line.unit) for line in lines] == [(4, "part"), (2, "part"), (None, "q.s.")]
    hk.translate(hk.read("Talc\nLard\nOrris\nq. s.\n4\n2\n"))
