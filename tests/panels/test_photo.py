"""A text that was read from a photograph: its places, the comparing of each amount, and what is held until then."""

from dataclasses import replace
from io import BytesIO
from types import SimpleNamespace

import page_by_hand
import pytest
from panels_without_browser import fields, page_in, shown, widgets_in
from PIL import Image

import histkit as hk
from histkit import records
from histkit.keeping import library
from histkit.keeping.records import Photograph, Record
from histkit.keeping.sharing import page_to_share
from histkit.panels import batch, reading
from histkit.panels.settling import to_settle
from histkit.photo.nouns import Box, Picture

TITLE, TALC, STARCH, ZINC, ORRIS, MIX = page_by_hand.LINES


@pytest.fixture
def looked(monkeypatch):
    """Pictures are opened without the packages of the extra, and read as the test says: `looked.seen`, `looked.frame`."""
    from histkit import photo
    from histkit.panels import photo as panel

    state = SimpleNamespace(seen=page_by_hand.seen(), frame=None, pages=1)

    def opened(data, name="", page=1):
        return Picture(Image.open(BytesIO(data)).convert("RGB"), name, page, state.pages)

    def read(picture, frame=None):
        state.frame = frame
        return state.seen

    monkeypatch.setattr(photo, "open_picture", opened)
    monkeypatch.setattr(photo, "read_photo", read)
    monkeypatch.setattr(panel, "is_ready", lambda: True)
    return state


def named(panel, name):
    return next(w for w in widgets_in(panel) if type(w).__name__ == name)


def choose(panel, data=None, name="page 12.png"):
    data = data or page_by_hand.page()
    chooser = named(panel, "Chooser")
    chooser.handle({"begins": name, "size": len(data)})
    for at in range(0, len(data), 5000):
        chooser.handle({"at": at}, [memoryview(data[at : at + 5000])])
    chooser.handle({"ends": name})


def read(panel, **more):
    choose(panel, **more)
    fields(panel)["Read what is in the frame"].click()


def rows(panel):
    return named(panel, "CompareList").rows


def say(panel, does, **more):
    return named(panel, "CompareList").handle({"does": does, **more})


@pytest.fixture
def photographed_desk(desk, looked):
    """An empty page on the desk, and a formula read onto it."""
    desk.begin(Record())
    panel = reading.build(desk)
    read(panel)
    return SimpleNamespace(desk=desk, panel=panel, looked=looked)


def test_what_is_read_goes_into_the_field_with_its_places(photographed_desk):
    desk, panel = photographed_desk.desk, photographed_desk.panel
    assert fields(panel)["Formula"].value == desk.record.text == page_by_hand.seen().text
    kept = records.load(desk.path).photograph
    assert kept.name == "page 12.png" and kept.frame is None and len(kept.words) == len(desk.record.text.split())
    folder, name = kept.picture.split("/")
    assert (desk.home / folder / name).is_file() and folder == "white-powder", "the picture lies in the formula's own folder"
    desk.undo()
    assert desk.record.text == "" and desk.record.photograph is None
    desk.redo()
    assert desk.record.photograph == kept


def test_each_amount_is_held_until_it_was_compared(photographed_desk):
    desk, panel = photographed_desk.desk, photographed_desk.panel
    assert [row["done"] for row in rows(panel)] == [False] * 4 and all(row["picture"] for row in rows(panel))
    with pytest.raises(hk.Forbidden, match="4 of its 4 lines have not been compared"):
        desk.record.batch()
    with pytest.raises(hk.Forbidden):
        desk.record.ladder()
    weigh = batch.build(desk)
    assert "No bench sheet yet" in shown(weigh) and "not been compared" in desk.summary()
    assert not to_settle(desk.record), "it has no reason to give: it is settled by looking"
    assert len(rows(weigh)) == 4, "the list stands where the batch is held, too"
    for row in rows(panel)[:3]:
        say(panel, "yes", key=row["key"])
    with pytest.raises(hk.Forbidden, match="1 of its 4 lines has not"):
        desk.record.batch()
    say(weigh, "yes", key=rows(weigh)[3]["key"])
    assert desk.record.batch().grams == 60 and "No bench sheet yet" not in shown(weigh)
    assert records.load(desk.path).to_compare() == ()
    desk.undo()
    assert desk.record.to_compare(), "a yes can be taken back"


def test_all_at_once_only_after_each_was_shown(photographed_desk):
    desk, panel = photographed_desk.desk, photographed_desk.panel
    keys = [row["key"] for row in rows(panel)]
    assert "not been shown" in say(panel, "all", keys=keys[:3])["trouble"] and len(desk.record.to_compare()) == 4
    assert say(panel, "all", keys=keys) == {} and desk.record.to_compare() == ()


def test_a_misread_line_is_put_right_and_counts_as_compared(desk, looked):
    looked.seen = page_by_hand.seen((TITLE, TALC, STARCH, "Zinc oxide, 12 oz.", ORRIS, MIX), other=(("12", "1½"),))
    desk.begin(Record())
    panel = reading.build(desk)
    read(panel)
    row = next(row for row in rows(panel) if "Zinc" in row["words"])
    assert "'12' or '1½'" in row["doubts"][0]
    assert "write what stands" in say(panel, "change", key=row["key"], words=" ")["trouble"]
    say(panel, "change", key=row["key"], words=ZINC)
    assert ZINC in desk.record.text and desk.record.formula().lines[2].amount == 1.5
    assert desk.record.to_compare() == (0, 1, 3)
    assert not desk.record.formula().lines[2].doubts, "what was compared is not doubtful any more"


def test_a_change_of_the_text_keeps_the_other_lines_compared(photographed_desk):
    desk, panel = photographed_desk.desk, photographed_desk.panel
    say(panel, "all", keys=[row["key"] for row in rows(panel)])
    fields(panel)["Formula"].value = desk.record.text.replace("2 oz.", "2½ oz.")
    assert [desk.record.formula().lines[n].ingredient for n in desk.record.to_compare()] == ["Rice starch"]
    fields(panel)["Formula"].value = "A note of mine.\n" + page_by_hand.seen().text
    assert desk.record.to_compare() == (), "the lines stand where they stood on the picture"


def test_an_amount_put_right_by_the_form_is_compared_anew(photographed_desk):
    desk, panel = photographed_desk.desk, photographed_desk.panel
    say(panel, "all", keys=[row["key"] for row in rows(panel)])
    page_in(panel).handle({"does": "put_right", "line": 0, "values": {"amount": "5"}})
    assert desk.record.to_compare() == (0,)
    page_in(panel).handle({"does": "leave_out", "line": 0})
    assert desk.record.to_compare() == (), "what is not an ingredient is not weighed"


def test_doubts_of_the_picture_stand_in_the_line_until_it_was_compared(photographed_desk):
    desk, panel = photographed_desk.desk, photographed_desk.panel
    line = desk.record.formula().lines[2]
    assert [doubt.about for doubt in line.doubts if "'12'" in doubt.text] == ["amount"]
    page = named(panel, "PhotoPage")
    assert [mark["kind"] for mark in page.marks] == ["doubt"] and "'12'" in page.marks[0]["words"]
    say(panel, "yes", key=rows(panel)[2]["key"])
    assert not desk.record.formula().lines[2].doubts and page.marks == []


def test_a_line_pointed_at_shows_where_it_stands(photographed_desk):
    panel, page = photographed_desk.panel, named(photographed_desk.panel, "PhotoPage")
    page_in(panel).handle({"does": "point", "line": 1})
    (box,) = page.pointed
    assert box["top"] == pytest.approx((60 + 70 * 2) / 560) and box["left"] == pytest.approx(120 / 900)
    say(panel, "point", line=-1)
    assert page.pointed == []
    assert len(page_in(panel).strips) == 4


def test_words_that_no_line_uses_are_marked_on_the_picture(desk, looked):
    looked.seen = page_by_hand.seen(stray=(("Civet", Box(120, 480, 220, 520)),))
    desk.begin(Record())
    panel = reading.build(desk)
    read(panel)
    (mark,) = [mark for mark in named(panel, "PhotoPage").marks if mark["kind"] == "unused"]
    assert "Civet" in mark["words"] and "Civet" in shown(panel)


def test_turned_framed_and_left(desk, looked):
    desk.begin(Record())
    panel = reading.build(desk)
    choose(panel, data=page_by_hand.page(turned=1))
    page = named(panel, "PhotoPage")
    assert page.framing and page.picture
    fields(panel)["Turn it right"].click()
    page.frame = {"left": 0.1, "top": 0.0, "right": 0.5, "bottom": 1.0}
    fields(panel)["Read what is in the frame"].click()
    assert looked.frame == Box(90, 0, 450, 560) and desk.record.photograph.reach() == looked.frame
    assert not page.framing
    choose(panel)
    fields(panel)["Leave it"].click()
    assert not page.framing and page.picture, "the picture that the text is from is shown again"


def test_a_page_of_a_file_with_several(desk, looked):
    looked.pages = 3
    desk.begin(Record())
    panel = reading.build(desk)
    read(panel)
    assert desk.record.photograph.page == 1
    choose(panel, name="book.pdf")
    number = fields(panel)["Page of the file"]
    assert number.layout.display == "flex"
    number.value = 9
    assert "lies from 1 to 3" in shown(panel)
    number.value = 2
    fields(panel)["Read what is in the frame"].click()
    assert (desk.record.photograph.name, desk.record.photograph.page) == ("book.pdf", 2)
    assert len(list((desk.home / "white-powder").glob("photograph*.jpg"))) == 1, "the same picture is kept once"


def test_a_file_beyond_all_bounds_is_refused_before_it_is_sent(desk, looked):
    panel = reading.build(desk)
    named(panel, "Chooser").handle({"begins": "film.mov", "size": 10**10})
    named(panel, "Chooser").handle({"at": 0}, [b"x"])
    named(panel, "Chooser").handle({"ends": "film.mov"})
    assert "film.mov has more than 100 MB" in shown(panel) and not named(panel, "PhotoPage").picture


def test_another_formula_is_asked_for_as_when_it_is_pasted(desk, looked):
    desk.begin(Record(text="White lead, 4 oz.\nOil of almonds, 1 oz."))
    own, panel = desk, reading.build(desk)
    read(panel)
    assert "Is it a new formula?" in shown(panel) and own.record.photograph is None
    fields(panel)["Put the old text back"].click()
    assert "White lead" in fields(panel)["Formula"].value and own.record.photograph is None
    fields(panel)["Read what is in the frame"].click()
    fields(panel)["A new formula"].click()
    assert own.record.photograph is not None and own.record.text == page_by_hand.seen().text
    assert not named(panel, "PhotoPage").framing and len(rows(panel)) == 4
    assert len(own.kept()) == 1, "the formula that lay there is kept"


def test_an_emptied_text_is_from_no_photograph(photographed_desk):
    desk, panel = photographed_desk.desk, photographed_desk.panel
    fields(panel)["Formula"].value = ""
    fields(panel)["The same formula, its text changed"].click()
    assert desk.record.text == "" and desk.record.photograph is None and not named(panel, "PhotoPage").picture
    desk.undo()
    assert desk.record.photograph is not None and len(rows(panel)) == 4


def test_typed_text_has_nothing_to_compare(own):
    panel = reading.build(own)
    assert rows(panel) == [] and own.record.to_compare() == () and page_in(panel).strips == []


def test_nothing_read_is_told(desk, looked):
    looked.seen = replace(page_by_hand.seen(), text=" ", words=(), doubts=())
    desk.begin(Record())
    panel = reading.build(desk)
    read(panel)
    assert "nothing could be read in this frame" in shown(panel) and desk.record.photograph is None


def test_without_the_extra_a_sentence_says_how_to_get_it(desk, monkeypatch):
    from histkit.panels import photo

    monkeypatch.setattr(photo, "is_ready", lambda: False)
    panel = reading.build(desk)
    assert "pip install" in shown(panel) and not [w for w in widgets_in(panel) if type(w).__name__ == "Chooser"]
    assert "½" in {sign for sign, _ in named(panel, "Signs").signs}


def test_no_words_of_the_trade_of_reading_machines(photographed_desk):
    panel = photographed_desk.panel
    told = shown(panel) + str(rows(panel)) + named(panel, "PhotoPage").words + photographed_desk.desk.summary()
    assert not [word for word in ("engine", "OCR", "token", "confidence") if word.lower() in told.lower().split()]


# -- kept, copied, handed on --------------------------------------------------------------------------------------------------


def test_a_copy_and_another_name_still_find_the_picture_and_a_stranger_does_not(photographed_desk, tmp_path):
    desk, panel = photographed_desk.desk, photographed_desk.panel
    say(panel, "yes", key=rows(panel)[0]["key"])
    desk.keep_copy("sent on")
    copy = library.duplicate(desk.home / "sent-on.json")
    renamed = library.rename(copy, "another name")
    desk.begin(library.opened(renamed))
    assert all(row["picture"] for row in rows(panel)) and [row["done"] for row in rows(panel)].count(True) == 1
    elsewhere = tmp_path / "elsewhere"
    elsewhere.mkdir()
    taken = library.take_in((desk.home / "sent-on.json").read_text(encoding="utf-8"), "sent-on.json", elsewhere)
    (elsewhere / "white-powder").mkdir()
    (elsewhere / "white-powder" / "photograph.jpg").write_bytes(b"another picture")
    there = hk.panels.Desk(elsewhere / "my-formula.json") if hasattr(hk, "panels") else type(desk)(elsewhere / "my-formula.json")
    there.begin(library.opened(taken))
    away = reading.build(there)
    assert not any(row["picture"] for row in rows(away)) and "does not lie beside" in rows(away)[0]["nowhere"]
    for row in rows(away)[1:]:
        say(away, "yes", key=row["key"])
    assert there.record.to_compare() == (), "without the picture each line is still answered by itself"


def test_the_page_to_hand_on_says_so(photographed_desk):
    desk, panel = photographed_desk.desk, photographed_desk.panel
    assert "not every amount has been compared" in page_to_share(desk.record)
    say(panel, "all", keys=[row["key"] for row in rows(panel)])
    assert "read from a photograph (page 12.png); each amount was compared" in page_to_share(desk.record)


@pytest.mark.parametrize("picture", ["../my-formula.json", "a/../../x.jpg", "/etc/passwd", "a/b/c.jpg", "a\\b.jpg", ""])
def test_a_picture_lies_in_a_folder_beside_the_record_and_nowhere_else(tmp_path, picture):
    from histkit.keeping.folder import picture_of

    (tmp_path / "my-formula.json").write_text("x", encoding="utf-8")
    assert picture_of(Photograph("x", "Talc 2 oz", picture=picture), tmp_path) is None
