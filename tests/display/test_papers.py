"""A sheet on paper: everything is on it, nothing is cut off, boxes to tick and room to write."""

import io
import re

import numpy
import pytest
from bench_ingredients import as_glossary
from drawn import letters
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image

import histkit as hk
from histkit.bench.batching import batch
from histkit.bench.pressing import press
from histkit.bench.weighing import Balance
from histkit.composing.composition import Composition
from histkit.display import papers, typesetting
from histkit.display.typography import words
from histkit.glossary.nouns import Ingredient


@pytest.fixture(autouse=True, scope="module")
def _glossary():
    with as_glossary():
        yield


def powder(name="invented tinted powder"):
    return Composition.of([("talc", 60), ("kaolin", 25), ("zinc-oxide", 14.8), ("carmine", 0.1), ("rose-oil", 0.1)], name)


def made(name="invented tinted powder", **more):
    pressed = press(powder(name), wetting="alcohol")
    return batch(pressed, 60, Balance(0.01, 0.2), **more)


def said(paper, size="a4"):
    return letters(" ".join(piece["words"] for piece in typesetting.shown("paper", papers.fields(paper, size))))


def margins_are_empty(paper, size="a4"):
    """On every page, drawn: nothing stands outside the margin of 16 mm."""
    data = papers.fields(paper, size)
    for number in range(1, typesetting.report("paper", data)["frames"] + 1):
        page = numpy.asarray(Image.open(io.BytesIO(typesetting.render("paper", data, "png", number))).convert("L"))
        edge = int(15 / 25.4 * 72)
        around = page.copy()
        around[edge:-edge, edge:-edge] = 255
        assert (around == 255).all(), f"page {number}"
        yield page


@pytest.mark.parametrize("paper", ["a4", "letter", "A4"])
def test_everything_of_the_sheet_is_on_the_pages(paper):
    one = made(number="7b", prices={"talc": 0.02}, currency="EUR", pans=4)
    sheet = one.bench_sheet()
    drawn = said(sheet.describe(), paper)
    for row in sheet.rows:
        assert letters(row.amount) in drawn and letters(row.name) in drawn
    wanted = [step.text() for step in sheet.steps] + [text for _, text in sheet.accounts]
    wanted += [sheet.price, "7b", "60.00 g", "Notes", "Balance showed", "(restricted)", "page 1 of", "Wet it"]
    for text in (*wanted, *(w for _, w in (*sheet.gravest_cautions(), *sheet.further_cautions()))):
        assert letters(text) in drawn, text
    assert len(list(margins_are_empty(sheet.describe(), paper))) >= 2


def test_the_size_is_that_of_the_paper():
    data = made().bench_sheet().to_pdf("letter")
    assert re.search(rb"/MediaBox ?\[ ?0 0 612 792", data)
    with pytest.raises(hk.BadValue, match="a4, letter"):
        made().bench_sheet().to_pdf("vellum")


def test_boxes_to_tick_and_lines_to_write_on():
    sheet = made().bench_sheet()
    count = len(sheet.rows) + len(sheet.steps)
    assert typesetting.report("paper", papers.fields(sheet.describe()))["boxes"] == count
    last = list(margins_are_empty(sheet.describe()))[-1]
    ruled = (last < 240).sum(axis=1) > 0.6 * last.shape[1]
    lines = int((ruled & ~numpy.roll(ruled, 1)).sum())
    assert lines >= 4, "lines for notes, and the rule above the foot"


@settings(max_examples=8, deadline=None)
@given(st.text(min_size=1, max_size=120), st.integers(1, 30))
def test_long_and_strange_names_are_never_cut_off(name, count):
    parts = [(Ingredient(f"earth-{n}", f"{name} {n}" if n else "talc", state="powder"), 1.0 + n) for n in range(count)]
    one = batch(Composition.of(parts, name), 30 + 5 * count, number=name[:10])
    sheet = one.bench_sheet().describe()
    assert letters(words(f"{name} {count - 1}", 4000) if count > 1 else "talc") in said(sheet)
    assert list(margins_are_empty(sheet))


@pytest.mark.parametrize("name", ["0" * 55, "W" * 60, "W" * 110, "a/b-" * 40])
def test_a_name_without_a_blank_is_broken_at_the_margin(name):
    """Fault: fifty-five figures in one ran over the right edge of the sheet."""
    sheet = made(name).bench_sheet().describe()
    assert list(margins_are_empty(sheet))
    assert letters(name) in said(sheet)


def test_what_is_typed_is_never_markup():
    name = "#panic() *b* $x$ <report> @ref"
    assert letters(name) in said(made(name).bench_sheet().describe())


def test_the_pdf_is_one_with_as_many_pages_and_the_same_each_time():
    one = made()
    data = one.to_pdf()
    assert data.startswith(b"%PDF-") and data == one.bench_sheet().to_pdf()
    pages = typesetting.report("paper", papers.fields(one.bench_sheet().describe()))["frames"]
    assert f"/Count {pages}".encode() in data and b"/FontFile" in data
