"""Display draws what `base.descriptions` says and knows nothing else: no room above it, no noun."""

import ast
import re
import subprocess
import sys
from pathlib import Path

import pytest

import histkit
from histkit.base import descriptions
from histkit.display import html, markdown, papers, pictures, points, typesetting, workbook

ROOM = Path(histkit.__file__).parent / "display"
MODULES = sorted(ROOM.glob("*.py"))
NOUNS = re.compile(
    r"\b(ComparisonTable|Row|Translation|TranslatedLine|Formula|Line|Batch|Weighing|BenchSheet|SheetRow|Effects?|Trial(Log)?|Proposal"
    r"|Composition|Ingredient|Record|Trend|ProcessStep|Source)\b"
)


def imported(tree: ast.AST) -> set[str]:
    """Every module of ours that is imported, also in functions and for types alone."""
    names = {alias.name for node in ast.walk(tree) if isinstance(node, ast.Import) for alias in node.names}
    names |= {node.module or "" for node in ast.walk(tree) if isinstance(node, ast.ImportFrom)}
    return {name for name in names if name.split(".")[0] == "histkit"}


@pytest.mark.parametrize("path", MODULES, ids=lambda path: path.stem)
def test_nothing_but_base_is_imported_not_even_for_types(path):
    assert {name.split(".")[1] for name in imported(ast.parse(path.read_text(encoding="utf-8")))} <= {"base", "display"}


@pytest.mark.parametrize("path", MODULES, ids=lambda path: path.stem)
def test_no_noun_has_a_name_here(path):
    names = {node.id for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))) if isinstance(node, ast.Name)}
    assert not {name for name in names if NOUNS.fullmatch(name)}


def test_descriptions_hold_no_colour_and_no_size():
    """Meaning only: tones by name. How they look is this room's."""
    text = Path(descriptions.__file__).read_text(encoding="utf-8")
    assert not re.search(r"#[0-9a-fA-F]{6}|\bpixels?\b|\bpx\b", text)


LEDGER = descriptions.Ledger(
    title="An invented wash",
    source="A book that nobody wrote",
    printed_head=descriptions.Head("As printed", "Printed"),
    today_head=descriptions.Head("Today", "Today"),
    both_head="Printed, and today",
    figure_heads=(descriptions.Head("Share then, %", "then, %", 1), descriptions.Head("Share now, %", "now, %", 1)),
    change_head=descriptions.Head("What changed", "Change"),
    entries=(
        descriptions.LedgerEntry(
            "Gum, an ounce",
            (
                descriptions.LedgerLine("gum arabic", (descriptions.Figure("100.0", 100.0), descriptions.Figure("–")), tone="old", change="replaced"),
                descriptions.LedgerLine("tragacanth", (descriptions.Figure("–"), descriptions.Figure("100.0", 100.0)), "instead", "new"),
            ),
            ("†",),
        ),
    ),
    totals=(descriptions.Figure("100.0", 100.0), descriptions.Figure("100.0", 100.0)),
    footnotes=(descriptions.Footnote("†", "Which gum is meant is not said."),),
    notes=("Shares by mass.",),
)  # fmt: skip


@pytest.mark.parametrize("size", [(1920, 1080), (1080, 1080), (1080, 1920)])
def test_a_ledger_made_by_hand_is_drawn(size):
    (frame,) = pictures.draw(LEDGER, size)
    text = " ".join(frame.text().split())
    for words in (
        "An invented wash",
        "A book that nobody wrote",
        "gum arabic",
        "tragacanth",
        "†",
        "Which gum is meant is not said.",
    ):
        assert words in text
    assert frame.alt.startswith("An invented wash. Source: A book that nobody wrote.\nAn invented wash\n"), (
        "without sentences of its own the words that are drawn will do"
    )


def test_a_column_of_dashes_is_left_out_of_a_picture_but_for_the_first():
    from dataclasses import replace

    lines = tuple(replace(line, figures=(line.figures[1], descriptions.Figure("–"))) for line in LEDGER.lines)
    bare = replace(LEDGER, entries=(replace(LEDGER.entries[0], lines=lines),))
    (frame,) = pictures.draw(bare, (1920, 1080))
    heads = {piece.words for piece in frame.pieces()}
    assert "then, %" in heads and "now, %" not in heads


def test_a_ledger_made_by_hand_is_a_table_and_a_workbook():
    import io

    import openpyxl

    page = html.ledger_table(LEDGER)
    assert 'rowspan="2"' in page and page.count('scope="col"') == 5 and "Source: A book that nobody wrote." in page
    assert '<td class="new"' in page and ">→ tragacanth<" in page
    sheet = openpyxl.load_workbook(io.BytesIO(workbook.to_bytes(LEDGER)))["old and new"]
    assert [row[:4] for row in sheet.iter_rows(values_only=True)][1:] == [
        ("Gum, an ounce †", "gum arabic", 100, None), (None, "→ tragacanth", None, 100), ("Total", None, "=SUM(C2:C3)", "=SUM(D2:D3)"),
    ]  # fmt: skip


def test_signs_stand_beside_the_words_of_a_card():
    card = descriptions.Card(
        "Gum", (descriptions.CardEntry("In the book", "Gum, an ounce", signs=("†",)),), footnotes=LEDGER.footnotes
    )
    (frame,) = pictures.draw(card, (1280, 720))
    assert "Gum, an ounce †" in frame.text() and "Which gum is meant is not said." in frame.text()


PAPER = descriptions.Paper(
    "An invented sheet",
    "running words",
    (
        descriptions.Form((descriptions.Blank("Number", "7b"), descriptions.Blank("Room", unit="°C", room=4))),
        descriptions.Paragraph("Too little to weigh well.", "warning"),
        descriptions.Paragraph("A plain word."),
        descriptions.Bullets((("gum", "sticks"),)),
        descriptions.Heading("Weigh"),
        descriptions.WeighingList((descriptions.ToWeigh("dry", "gum arabic", "1.00 g", "of its mixture"),)),
        descriptions.Ticked(("Stir.", "Wait.")),
        descriptions.Notes(),
    ),
)


def test_a_sheet_made_by_hand_says_the_same_on_paper_in_html_and_in_markdown():
    drawn = " ".join(p["words"] for p in typesetting.shown("paper", papers.fields(PAPER))).replace("1 .00\u00a0g", "1.00 g")
    page, text = html.paper(PAPER), markdown.paper(PAPER)
    for words in ("An invented sheet", "7b", "Too little to weigh well.", "A plain word.", "gum", "sticks", "Weigh", "gum arabic",
                  "1.00 g", "of its mixture", "Stir.", "Wait.", "Notes"):  # fmt: skip
        assert words in drawn and words in page and words in text, words
    assert "Number: 7b · Room: ____ °C" in page
    assert "**Too little to weigh well.**" in text and "<strong>Too little to weigh well.</strong>" in page
    assert "1. Stir." in drawn and "2. Wait." in drawn
    assert text.count("[ ] ") == 3 and "1. [ ] Stir." in text and page.count("☐") == 3


def test_points_made_by_hand_are_drawn_with_their_legend():
    from histkit.base.nouns import Spread

    made = descriptions.Points(
        "Grip over gum", "gum, %", "Grip, 0 to 3", 3, (descriptions.Point(2, 1, "full"), descriptions.Point(4, None, "cross")),
        (("full", "<held>"), ("cross", "not tried")), "grip not tried", "Two trials.", band=(Spread(2, 3, 4), "try 3 %"),
    )  # fmt: skip
    svg = points.to_svg(made)
    for words in ("Grip over gum", "gum, %", "&lt;held&gt;", "? grip not tried", "try 3 %", "<desc>Two trials.</desc>"):
        assert words in svg
    assert svg.count("<circle") == 2 and svg.count("<rect") == 1, "a result and its mark in the legend, and the band"


def test_drawing_loads_no_room_above():
    code = (
        "import sys; from histkit.base.descriptions import Listing, ListEntry; from histkit.display import html, papers, pictures; "
        "pictures.draw(Listing('x', (ListEntry('talc', '1 g'),)), (640, 360)); "
        "print(sorted({m.split('.')[1] for m in sys.modules if m.startswith('histkit.')}))"
    )
    answer = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert answer.stdout.strip() == "['base', 'display']"
