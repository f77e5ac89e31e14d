"""Words that mean harm: whatever a maker pastes is shown as text, and nowhere acted upon.

What must hold for any bytes at all is in tests/fuzz/; here are the faults that were found, each by itself.
"""

import csv
import json
import os
import re
import subprocess
import sys
import time

import openpyxl
import pytest
from fuzz.harnesses import Skeleton
from typer.testing import CliRunner

import histkit as hk
from histkit.base.text import clean, markdown_cell, spreadsheet_cell
from histkit.books import running
from histkit.books.questions import metals
from histkit.books.tables import Tables
from histkit.keeping.records import Record, Replacement, Weighing
from histkit.shell import demo as demonstration
from histkit.shell import main as cli
from histkit.shell import notebooks
from histkit.shell.answering import kindly

EVIL = "=HYPERLINK(\"http://x\") \x1b[31mred\x07 \u202etxt.exe\u2066 <script>alert(1)</script> ]]> & | `x` $a$ [l](javascript:1)"
UNKNOWN = "unknown-hyperlink-http-x-31mred-txt-exe-script-alert-1-script-x-a-l-javascript-1-starch"
"""The id of the starch with that name before it."""
HIDDEN = ("\x1b", "\x07", "\u202e", "\u2066")


@pytest.fixture(scope="module")
def translation():
    source = hk.Source(title=EVIL, author=EVIL, place=EVIL, page=EVIL, url="javascript:alert(1)")
    return hk.translate(hk.read(f"{EVIL}\nPowdered talc, 4 oz.\n@{EVIL} starch, 2 oz.\n+1cmd|'/C calc'!A0 chalk, 3 oz.", source=source))


def test_text_for_a_terminal_holds_no_control_characters(translation):
    table = hk.compare(translation)
    shown = [translation.to_text(), table.to_text(), *(line.explain() for line in translation.lines), table.to_markdown()]
    assert not any(character in text for text in shown for character in HIDDEN)


def test_pages_and_pictures_hold_no_markup_of_the_maker(translation, tmp_path):
    table = hk.compare(translation)
    table.to_picture(tmp_path / "table.svg")
    pages = [table.to_html(), translation.to_html(), translation._repr_html_(), (tmp_path / "table.svg").read_text()]
    for page in pages:
        assert "<script" not in page
        assert 'href="javascript' not in page
        assert not any(character in page for character in HIDDEN)
    assert "<script" not in table.to_markdown()


def test_no_cell_of_a_spreadsheet_is_a_formula(translation, tmp_path):
    table = hk.compare(translation)
    table.to_xlsx(tmp_path / "table.xlsx")
    book = openpyxl.load_workbook(tmp_path / "table.xlsx")  # a title with control characters once made it unreadable
    cells = [cell for sheet in book for row in sheet.iter_rows() for cell in row]
    sums = re.compile(r"=SUM\([A-Z]+\d+:[A-Z]+\d+\)")  # the totals, which are ours
    assert all(sums.fullmatch(cell.value) for cell in cells if cell.data_type == "f")
    assert not any(str(cell.value or "")[:1] in "=+-@" for cell in cells if cell.data_type == "s" and cell.value)
    table.to_csv(tmp_path / "table.csv")
    fields = (tmp_path / "table.csv").read_text(encoding="utf-8")
    assert not any(character in fields for character in HIDDEN)
    assert ",=HYPERLINK" not in fields
    assert ',"=HYPERLINK' not in fields
    assert ",@" not in fields


@pytest.mark.parametrize("number", [float("nan"), float("inf"), -3.0, 0.0])
def test_amounts_that_are_no_amounts_are_named_in_the_error(number):
    composition = hk.translate(hk.read("Talc 4 oz.\nStarch 2 oz.")).composition()
    balance = hk.Balance(readability=0.01, minimum=0.2)
    with pytest.raises(hk.BadValue, match="grams"):
        hk.batch(composition, grams=number, balance=balance)
    with pytest.raises(hk.BadValue, match="readability"):
        hk.Balance(readability=number, minimum=1)
    with pytest.raises(hk.BadValue, match="diameter_mm"):
        hk.pan_fill(hk.press(composition), diameter_mm=number, depth_mm=4)


@pytest.mark.parametrize("number", [10**400, 10**5000, -(10**5000)], ids=["400 figures", "5000 figures", "5000 below"])
def test_whole_numbers_that_no_float_can_hold_are_refused_like_others(number):
    composition = hk.translate(hk.read("Talc 4 oz.\nStarch 2 oz.")).composition()
    pressed = hk.press(composition)
    for what, asked in (
        ("grams", lambda: hk.batch(composition, grams=number, balance=hk.Balance(readability=0.01, minimum=0.2))),
        ("readability", lambda: hk.Balance(readability=number, minimum=1)),
        ("diameter_mm", lambda: hk.pan_fill(pressed, diameter_mm=number, depth_mm=4)),
        ("below_rim_mm", lambda: hk.pan_fill(pressed, diameter_mm=44, depth_mm=4, below_rim_mm=number)),
        ("binder_share", lambda: hk.press(composition, binder_share=number)),
        ("zinc oxide", lambda: composition.replace("talc", {"zinc-oxide": number})),
        ("year", lambda: hk.Source(year=number)),
        ("grams to make", lambda: Weighing(grams=number)),
        ("size", lambda: hk.compare(hk.translate(hk.read("Talc 4 oz."))).frames((number, 1080))),
    ):
        with pytest.raises(hk.BadValue, match=what) as told:
            asked()
        assert len(str(told.value)) < 300, "a message does not spell out five thousand figures"


@pytest.mark.parametrize("size", [1e308, 5e-324])
def test_sizes_beyond_all_bounds_are_refused_before_a_sum_runs_over(size):
    pressed = hk.press(hk.translate(hk.read("Talc 4 oz.\nStarch 2 oz.")).composition())
    with pytest.raises(hk.BadValue, match=r"diameter_mm is a number above 0, from 1e-12 to 1e\+12"):
        hk.pan_fill(pressed, diameter_mm=size, depth_mm=4)


@pytest.mark.parametrize(("grams", "readability"), [(1e308, 0.01), (60, 1e-300), (60, 5e-324)])
def test_a_batch_of_more_steps_than_can_be_counted_is_refused(grams, readability):
    composition = hk.translate(hk.read("Talc 4 oz.\nStarch 2 oz.")).composition()
    with pytest.raises(hk.BadValue, match=r"more than can be worked out in steps of .* g: make less"):
        hk.batch(composition, grams=grams, balance=hk.Balance(readability=readability, minimum=0.2))


def test_a_stand_in_that_outweighs_all_else_leaves_a_table():
    """1e308 g for one gram: the shares of the other lines are as good as nothing, and were divided by."""
    table = Record(text="Talc 4 oz.\nStarch 2 oz.", replacements=(Replacement("talc", (("zinc-oxide", 1e9),)),)).table()
    assert table.now_total == 100
    huge = Record(text="Talc 4 oz.\nStarch 2 oz.\nChalk 1 oz.", replacements=(Replacement("talc", (("talc", 1e308),)),))
    assert huge.table().now_total == 100


# -- what is shown -----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("typed", "shown"),
    [
        ("talc\rchalk\r\nstarch\u2028orris\x0bmyrrh\x85rose", "talc\nchalk\nstarch\norris\nmyrrh\nrose"),
        ("pow\u00adder \u061cof\U000e0041 talc\ufff9", "powder of talc"),
        ("half \ud83d and \uffff", "half \ufffd and \ufffd"),
        ("tab\tstays, ʒ℥½ and e\u0301 too", "tab\tstays, ʒ℥½ and e\u0301 too"),
    ],
)
def test_no_two_words_run_together_and_no_half_character_is_left(typed, shown):
    assert clean(typed) == shown


def test_half_characters_go_into_every_file(tmp_path):
    """As from the name of a file that is no UTF-8: the CSV file was not written, with Python's own error."""
    half = "powder \udcff \ud83d\uffff"
    table = hk.compare(hk.translate(hk.read(f"{half} talc, 4 oz.\nStarch, 2 oz.", source=hk.Source(title=half, author=half))))
    table.to_csv(tmp_path / "table.csv")
    table.to_xlsx(tmp_path / "table.xlsx")
    table.to_picture(tmp_path / "table.svg", (960, 540))
    assert "\ufffd" in (tmp_path / "table.csv").read_text(encoding="utf-8")
    openpyxl.load_workbook(tmp_path / "table.xlsx")


@pytest.mark.parametrize(
    ("cell", "kept"),
    [
        ("=1+1", "'=1+1"), ("\n=1+1", "'\n=1+1"), ("\r\n=1", "'\n=1"), (" =1+1", "' =1+1"), ("＝1+1", "'＝1+1"), ("＠SUM(1)", "'＠SUM(1)"),
        ("\u200b=1", "'=1"), ("\t", "'\t"), ("", ""), ("talc = chalk", "talc = chalk"), (" talc", " talc"),
    ],
)  # fmt: skip
def test_whatever_a_spreadsheet_may_take_for_a_formula_gets_an_apostrophe(cell, kept):
    assert spreadsheet_cell(cell) == kept


@pytest.mark.parametrize(
    ("cell", "kept"),
    [
        ("$\\href{javascript:alert(1)}{x}$", r"\$\\href\{javascript:alert(1)\}\{x\}\$"),
        ("~~none~~", r"\~\~none\~\~"),
        ("- a list", r"\- a list"), ("1. a list", r"1\. a list"), ("---", r"\---"), ("===", r"\==="), ("    code", "code"),
        ("1.5 oz. - half", "1.5 oz. - half"), ("-like", "-like"), ("10\u00a0g", "10\u00a0g"),
    ],
)  # fmt: skip
def test_markdown_makes_no_formula_list_or_rule_of_a_cell(cell, kept):
    assert markdown_cell(cell) == kept


# -- the shell ---------------------------------------------------------------------------------------------------------------


def shell(*words, **more):
    return CliRunner().invoke(cli.app, [str(word) for word in words], **more)


def hidden(text):
    return [c for c in text if c != "\n" and not c.isprintable()]


@pytest.fixture
def printed(tmp_path):
    file = tmp_path / "formula.txt"
    file.write_text(f"{EVIL}\nPowdered talc, 4 oz.\n@{EVIL} starch, 2 oz.", encoding="utf-8")
    return file


@pytest.mark.parametrize("words", ["translate", "translate --explain", "table", "press", "batch", "effects", "label"])
def test_the_shell_prints_nothing_that_a_terminal_acts_upon(printed, words):
    for more in ((), ("--json",)):
        answer = shell(*words.split(), printed, "--book", EVIL, *more)
        assert not hidden(answer.output)
        if words in ("press", "batch", "label"):  # nobody knows that starch: first it is refused, then vouched for
            assert answer.exit_code != 0 and "starch" in answer.output
            answer = shell(*words.split(), printed, "--book", EVIL, "--known", f"{UNKNOWN}={EVIL}", *more)
        assert answer.exit_code == 0, answer.output
        assert not hidden(answer.output)
    assert json.loads(answer.stdout, parse_constant=pytest.fail)


def test_json_gives_hidden_characters_back_as_they_were(printed):
    lines = json.loads(shell("translate", printed, "--json").stdout)["lines"]
    assert "\u202e" in "".join(line["raw"] for line in lines) + json.loads(shell("translate", printed, "--json").stdout)["title"]


def test_names_of_files_are_shown_plainly(printed, tmp_path):
    for word in ("a\x1b[31m.md", "b\u202egpj.md"):
        answer = shell("table", printed, "--to", tmp_path / word)
        assert answer.exit_code == 0 and not hidden(answer.output)
        missing = shell("translate", f"no-{word}")
        assert missing.exit_code == 2 and not hidden(missing.output)


@pytest.mark.parametrize("words", ["--\x1b[31mno", "translate f.txt \u202eextra", "\x1b[2Jno-such", "translate f.txt --year \x1b[2J", "corpus \x1b[2J"])
def test_a_call_that_is_not_understood_is_quoted_plainly(words):
    answer = shell(*words.split(" "))
    assert answer.exit_code == 2
    assert not hidden(answer.output)


def test_the_table_in_json_is_json(printed):
    """Missing figures were NaN, which is no JSON, and lines that the book has not were '<NA>'."""
    rows = json.loads(shell("table", printed, "--json").stdout, parse_constant=pytest.fail)["rows"]
    assert rows[0]["line"] == 1 and rows[-1]["line"] is None and rows[-1]["share_then"] is None


def test_standard_input_that_is_no_utf_8_is_named(printed):
    answer = shell("translate", "-", input=b"Talc, 4 oz.\xff\xfe")
    assert answer.exit_code == 2 and "standard input is no UTF-8 text" in answer.output and "at byte 11" in answer.output
    assert shell("translate", "-", input=b"\xef\xbb\xbfTalc, 4 oz.\r\nStarch, 2 oz.\r\n").exit_code == 0


def test_a_text_beyond_all_bounds_is_not_taken_in(tmp_path):
    file = tmp_path / "huge.txt"
    with file.open("wb") as opened:
        opened.truncate(10**11)  # a hundred gigabytes that take no room
    answer = shell("translate", file)
    assert answer.exit_code == 2 and "has more than 16 MB" in answer.output and "corpus read" in answer.output


def test_a_terminal_without_the_signs_gets_their_numbers():
    for more in ((), ("--json",)):
        call = [sys.executable, "-m", "histkit.shell.main", "translate", "-", *more]
        there = {**os.environ, "PYTHONIOENCODING": "cp1252"}
        done = subprocess.run(call, input="Talc ʒij\nAmidon é ʒj".encode(), capture_output=True, env=there, check=False)
        assert done.returncode == 0, done.stderr
        assert b"Talc \\u0292ij" in done.stdout
    assert json.loads(done.stdout)["lines"][1]["raw"] == "Amidon é ʒj"


def test_the_end_of_a_pipe_is_no_error_of_ours():
    with pytest.raises(BrokenPipeError), kindly():
        raise BrokenPipeError(32, "Broken pipe")


def test_an_error_that_quotes_a_book_is_cut(capsys):
    answer = shell("substitutes", "z" * 100_000)
    assert answer.exit_code == 1 and len(answer.output) < 2000 and answer.output.startswith("histkit: no ingredient is called 'zzz")


@pytest.mark.parametrize("letters", ["z", "z ", "z, ", "zz.", "(", "()", ")(", "-", "z (z) "])
def test_looking_up_takes_time_with_the_length_and_no_more(letters):
    """A ratio within one run. A name of 100,000 letters without a stop took two minutes."""

    def seconds(name):
        start = time.perf_counter()
        hk.glossary.find(name)
        return time.perf_counter() - start

    hk.glossary.find("tolc")  # the tables are read at the first call
    short, long = (min(seconds(letters * (count + more)) for more in range(3)) for count in (3_000, 30_000))
    assert long < 40 * max(short, 0.005)


@pytest.mark.parametrize("size", ["²x²", "1920", "x", "9" * 5000 + "x1", "1920x1080x3", "-1x5", "1e3x1e3"])
def test_sizes_that_are_none(printed, size):
    answer = shell("table", printed, "--size", size)
    assert answer.exit_code == 2 and "write width x height in pixels" in answer.output


def test_a_file_where_a_folder_should_be(tmp_path):
    (tmp_path / "out").write_text("mine", encoding="utf-8")
    with pytest.raises(hk.BadValue, match="out is a file; give a folder"):
        demonstration.run(tmp_path / "out")
    assert (tmp_path / "out").read_text(encoding="utf-8") == "mine"


def test_notes_on_notebooks_that_were_spoilt_are_passed_over(tmp_path):
    for spoilt in ("[]", "7", "[" * 100_000, "\xff"):
        (tmp_path / ".histkit-notebooks.json").write_text(spoilt, encoding="latin-1")
        assert notebooks.put(tmp_path)


# -- folders of books --------------------------------------------------------------------------------------------------------

BOOK = "Face Powder.\n\nTalc, 4 oz.\nStarch, 2 oz.\n"


@pytest.fixture
def books(tmp_path):
    folder = tmp_path / "books"
    (folder / "inner").mkdir(parents=True)
    (folder / "good.txt").write_text(BOOK, encoding="utf-8")
    return folder


def rows(out):
    return (out / "formulas.csv").read_text(encoding="utf-8").splitlines()[1:]


def test_files_with_any_name_and_in_other_encodings_are_read(books, tmp_path):
    (books / "=cmd|x!A1.txt").write_text(BOOK, encoding="utf-8")
    (books / "two\nlines\x1b[31m\u202e.txt").write_text(BOOK, encoding="utf-8")
    try:
        (books / os.fsdecode(b"caf\xe9\xff.txt")).write_text(BOOK, encoding="utf-8")
        (books / os.fsdecode(b"caf\xe9\xfe.txt")).write_text(BOOK, encoding="utf-8")
    except OSError:
        pytest.skip("this system has no names of files that are no UTF-8")
    (books / "wide.txt").write_text(BOOK, encoding="utf-16")
    (books / "western.txt").write_text(BOOK + "Café\n", encoding="cp1252")
    (books / "empty.txt").write_bytes(b"")
    (books / "binary.txt").write_bytes(bytes(range(256)) * 40)
    summary = running.run(books, tmp_path / "out")
    assert [row.split(",1,Face")[0] for row in rows(tmp_path / "out")] == [
        "'=cmd|x!A1.txt", "caf\ufffd\ufffd.txt", "caf\ufffd\ufffd.txt (2)", "good.txt", "two lines[31m.txt", "western.txt", "wide.txt",
    ]  # fmt: skip
    assert "wide.txt: not UTF-8; read as utf-16." in summary.notes
    assert any("binary.txt: holds null characters" in note for note in summary.notes)
    assert not hidden(clean(summary.text()))
    answer = shell("corpus", "read", books, "--out", tmp_path / "out", "--quiet")
    assert answer.exit_code == 0 and not hidden(answer.output)


def test_links_are_named_and_not_followed(books, tmp_path):
    (tmp_path / "secret.txt").write_text(BOOK, encoding="utf-8")
    (books / "link.txt").symlink_to(tmp_path / "secret.txt")
    (books / "inner" / "up").symlink_to(tmp_path, target_is_directory=True)
    (books / "inner" / "loop").symlink_to(books, target_is_directory=True)
    (books / "nowhere.txt").symlink_to(tmp_path / "nowhere")
    summary = running.run(books, tmp_path / "out")
    assert summary.books == 1
    for link in ("link.txt", "inner/up", "inner/loop", "nowhere.txt"):
        assert f"{link} is a link and was not followed." in summary.notes
    (books / "books.csv").symlink_to(tmp_path / "secret.txt")
    with pytest.raises(hk.BadValue, match=r"books.csv is a link"):
        running.run(books, tmp_path / "out")


@pytest.mark.parametrize(
    ("table", "message"),
    [
        ("file,year\ngood.txt,1²72\n", "row 2: the year is four figures"),
        ("", "one of them must be 'file'"),
    ],
)
def test_tables_of_books_that_make_no_sense(books, tmp_path, table, message):
    (books / "books.csv").write_text(table, encoding="utf-8")
    with pytest.raises(hk.BadValue, match=message):
        running.run(books, tmp_path / "out")


def test_a_table_of_books_with_a_cell_beyond_the_limit_of_python(books, tmp_path):
    (books / "books.csv").write_text("file,title\ngood.txt," + "x" * 200_000, encoding="utf-8")
    before = csv.field_size_limit(131_072)  # other libraries raise it for the whole process
    try:
        with pytest.raises(hk.BadValue, match=r"books.csv cannot be read as a table \(field larger than field limit"):
            running.run(books, tmp_path / "out")
    finally:
        csv.field_size_limit(before)


def test_a_cell_of_the_table_of_books_may_run_over_lines(books, tmp_path):
    (books / "books.csv").write_text('file,title,year\n"good.txt","A book\nin two lines",1872\n', encoding="utf-8")
    running.run(books, tmp_path / "out")
    assert "1872" in rows(tmp_path / "out")[0].split(",")


def test_tidying_up_leaves_what_is_not_of_a_run(books, tmp_path):
    """Every hidden file in a folder called 'parts' was removed, whosever it was."""
    folder = tmp_path / "out" / "parts"
    folder.mkdir(parents=True)
    left = [".gitignore", ".DS_Store", "spare.part", "notes.txt"]
    ended = subprocess.Popen([sys.executable, "-c", ""])
    ended.wait()
    gone = ["0" * 32 + ".part", f".histkit-{ended.pid}-abc123.tmp"]
    for name in (*left, *gone):
        (folder / name).write_text("mine", encoding="utf-8")
    running.run(books, tmp_path / "out")
    there = {path.name for path in folder.iterdir()}
    assert there >= set(left) and not there & set(gone)


@pytest.mark.parametrize("jobs", [0, -1, 257, 10**5000, 1.5, True], ids=["none", "below", "many", "huge", "half", "yes"])
def test_numbers_of_jobs_that_make_no_sense(books, tmp_path, jobs):
    with pytest.raises(hk.BadValue, match="jobs is 1 or more and at most 256"):
        running.run(books, tmp_path / "out", jobs=jobs)


@pytest.mark.parametrize("address", ["junk", "tcp://[::1", "file:///etc/passwd", "tcp://\x1b"])
def test_addresses_that_are_none_are_refused_at_once(books, tmp_path, address):
    pytest.importorskip("distributed")
    answer = shell("corpus", "read", books, "--out", tmp_path / "out", "--scheduler", address)
    assert answer.exit_code == 2 and "no Dask scheduler answers at" in answer.output


@pytest.mark.parametrize(
    ("content", "message"),
    [
        (b"PAR1 and no more", r"formulas.csv is no table of a run .* it lacks book, number, title"),
        (b"book,number\na,1\n", r"formulas.csv is no table of a run .* it lacks title, kind"),
        (b"\xff\xfe\x00", r"formulas.csv is damaged or no table of a run"),
        (b"", r"formulas.csv is no table of a run .* it lacks book"),
    ],
)
def test_tables_that_are_none_of_a_run_are_named(books, tmp_path, content, message):
    out = tmp_path / "out"
    running.run(books, out)
    (out / "formulas.csv").write_bytes(content)
    with pytest.raises(hk.TableError, match=message):
        metals(Tables(out), "lead")


def test_huge_figures_in_print_are_no_crash():
    formula = hk.read("Talc 99999999999999999999999999 oz.; chalk 1e400 oz; orris 5 oz.")
    assert [line.ingredient for line in formula.lines][-1] == "orris"
    hk.translate(formula)


# -- the panels --------------------------------------------------------------------------------------------------------------


def hostile_record():
    from histkit.bench.trials import Trial
    from histkit.keeping.records import Constraints, Correction, Pressing

    text = f"{EVIL}\nPowdered talc, 4 oz.\n@{EVIL} starch, 2 oz.\nCarmine, 10 grains.\n\n{EVIL} Mix them."
    return Record(
        text=text,
        source=hk.Source(title=EVIL, author=EVIL, year=1872, country=EVIL, place=EVIL, page=EVIL, url="javascript:alert(1)"),
        corrections=(Correction(line=1, ingredient=f"rice starch {EVIL}"),),
        replacements=(Replacement("carmine", (("red-iron-oxide", 1.0),), EVIL, EVIL),),
        constraints=Constraints(avoid=(EVIL,), market=EVIL),
        pressing=Pressing(cake=EVIL),
        weighing=Weighing(balance=EVIL, number=EVIL, notes=EVIL, pans=2),
        title=EVIL,
        notes=EVIL,
        trials=(Trial(number=1, binder_share=0.05, oil_share=0.03, notes=EVIL),),
        batches=(Weighing(number=EVIL, notes=EVIL),),
        prices=(("talc", 0.02),),
        currency=EVIL,
    )


def test_no_panel_shows_markup_of_the_maker():
    from histkit.display.marked import alive
    from histkit.panels import batch, find, parts, pictures, pressing, reading, substitutes, trials
    from histkit.panels import page as marked_page

    record = hostile_record()
    shown = [view(record) for view in (
        batch.bench_view, batch.least_view, batch.made_view, pictures.table_view, pressing.cake_view, pressing.pans_view,
        reading.figures_view, marked_page.page_at_rest, lambda r: alive(marked_page.page_of(r)), substitutes.overview,
    )]  # fmt: skip
    shown += [trials.log_view(record, "binder"), find.find_view(EVIL), parts.paragraph(EVIL), parts.alert(EVIL), parts.good(EVIL)]
    shown += [parts.alert(parts.sentence(hk.UnknownName("ingredient", EVIL))), parts.kindly(lambda: hk.glossary.ingredient(EVIL).name)]
    assert EVIL[:5] in "".join(shown)
    for page in shown:
        for tag, attributes in Skeleton(page).elements:
            assert tag not in ("script", "iframe", "object", "embed", "img", "svg", "style", "link"), page
            assert not any(name.startswith("on") for name in attributes), page
        assert not Skeleton(page).loose and "javascript:alert(1)\"" not in page
        assert not [c for c in page if c != "\n" and not c.isprintable() and c != "\u2007" and c != "\u00a0"]
