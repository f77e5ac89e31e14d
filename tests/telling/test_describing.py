"""What the table of old and new hands down to be shown: what belongs together, tones by meaning, the same in sentences."""

import invented_powder as ip
import pytest

from histkit.telling import describing
from histkit.telling.comparing import compare

LEAD = "lead carbonate (white lead)"


def lines(table):
    return {line.today: line for line in table.describe().lines}


def test_entries_are_the_printed_lines_with_what_stands_in_their_place_and_the_additions():
    ledger = ip.table().describe()
    assert [(e.printed, e.in_book, [line.place for line in e.lines]) for e in ledger.entries][2:] == [
        ("White lead, finely levigated, 2 oz.", True, ["printed", "instead", "instead"]),
        ("Powdered orris-root, 1 oz.", True, ["printed"]),
        ("Precipitated chalk, 1/2 oz.", True, ["printed"]),
        ("Otto of rose, 10 drops.", True, ["printed"]),
        ("[Otto of] bergamot, 20 drops.", True, ["printed"]),
        ("(not in the book)", False, ["added"]),
        ("(not in the book)", False, ["added"]),
    ]


def test_what_went_is_old_what_came_is_new_and_what_stayed_is_plain():
    shown = lines(ip.table())
    assert [shown[name].tone for name in ("talc", LEAD, "zinc oxide", "jojoba oil")] == ["ink", "old", "new", "new"]
    assert shown[LEAD].figures_tone == "muted" and shown["talc"].figures_tone == "ink"
    assert (shown["talc"].change_tone, shown["talc"].as_before) == ("muted", True)
    assert (shown[LEAD].change_tone, shown[LEAD].as_before) == ("ink", False)
    forbidden = lines(compare(ip.translation(), composition=ip.translation().composition()))[LEAD]
    assert (forbidden.tone, forbidden.change_tone) == ("old", "old"), "a poison that is still in it"


def test_a_line_says_what_a_picture_marks():
    shown = lines(ip.table())
    assert (shown[LEAD].mark, shown["talc"].mark) == ("poison", "")
    assert shown[LEAD].why == "white lead is a cumulative poison and may not be used on the skin", "the first of a long reason"
    still = lines(compare(ip.translation(), composition=ip.translation().composition()))[LEAD]
    assert (
        still.mark == "poison"
        and still.why == "Lead poisons by mouth and lungs and in part through the skin; it stays in the body"
    )
    assert shown["zinc oxide"].swatch.startswith("#") and shown["jojoba oil"].swatch == ""


def test_heads_say_what_they_hold():
    ledger = ip.table().describe()
    assert [head.holds for head in ledger.figure_heads] == ["share then", "share now", "weight"]
    assert ledger.printed_head.short == "As printed, 1871" and ledger.brief_notes == (ip.table().caption,)


def test_a_stand_in_for_a_line_printed_twice_says_that_the_book_has_it_not():
    """It stands by itself, since it is in the place of both; the page and the workbook had an empty cell there."""
    table = ip.table(repeat=2)
    entry = next(e for e in table.describe().entries if e.lines[0].today == "zinc oxide")
    assert entry.printed == "(not in the book)" and entry.lines[0].place == "instead"
    assert table.to_html().count("(not in the book)") == table.to_text().count("(not in the book)") == 4


def test_the_card_of_a_line():
    card = describing.cards(ip.table())["rose otto"]
    entries = {entry.label: entry for entry in card.entries}
    assert entries["In the book"].text == "Otto of rose, 10 drops." and entries["In the book"].signs == ("‡",)
    assert entries["Weigh"].bold and not entries["Share then"].bold
    went = {entry.label: entry for entry in describing.cards(ip.table())[LEAD].entries}
    assert went["What changed"].tone == "old" and went["In its place"].tone == "new"


def test_shares_of_one_ingredient_are_summed_over_its_lines():
    bars = describing.shares(ip.table(repeat=2))
    assert len(bars.rows) == len({row.today for row in ip.table(repeat=2).rows})
    talc = next(row for row in bars.rows if row.name == "talc")
    then = [row.then.best for row in ip.table(repeat=2).rows if row.today == "talc"]
    assert len(then) == 2 and talc.lengths[0].value.best == pytest.approx(sum(then))
    assert talc.full == max(length.value.best for row in bars.rows for length in row.lengths if length.value)
    assert bars.legend == ("then, %", "now, %") and describing.shares(compare(ip.translation())).legend == ("then, %",)


def test_the_sentences_tell_source_lines_and_totals():
    spoken = ip.table().describe().spoken.text(", frame 1 of 2").splitlines()
    assert spoken[0] == f"Table of old and new: {ip.table().title}, frame 1 of 2. Source: {ip.SOURCE.citation()}."
    assert len(spoken) == len(ip.table().rows) + 2 and spoken[-1] == "Total: 100.0 % then, 100.0 % now, 60.00 g."
