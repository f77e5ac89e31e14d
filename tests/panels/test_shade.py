"""The shade panel: a photograph made here, its boxes, and the way to the next addition."""

from datetime import UTC, datetime

import pytest
from panels_without_browser import fields, shown, widgets_in
from warm_pictures import beside_a_card, between_greys

from histkit.keeping.records import Record
from histkit.keeping.shades import KeptSwatch
from histkit.panels import shade as panel
from histkit.panels.boxes import Boxes
from histkit.shade import Colour

BOXES = [
    {"name": "grey", "left": 0.05, "top": 0.2, "width": 0.2, "height": 0.6},
    {"name": "Grey 2", "left": 0.75, "top": 0.2, "width": 0.2, "height": 0.6},
    {"name": "my powder", "left": 0.4, "top": 0.2, "width": 0.2, "height": 0.6},
]


@pytest.fixture
def built(desk):
    return panel.build(desk)


def choose(built, content):
    upload = next(w for w in widgets_in(built) if type(w).__name__ == "FileUpload" and w.description == "Choose a photograph")
    upload.value = (
        {
            "name": "invented.png",
            "type": "image/png",
            "size": len(content),
            "content": content,
            "last_modified": datetime(2026, 1, 1, tzinfo=UTC),
        },
    )
    return next(w for w in widgets_in(built) if isinstance(w, Boxes))


def press(built, words):
    fields(built)[words].click()


def test_a_start_is_shown_at_once_and_follows_the_choice(built):
    assert "about light" in shown(built)
    fields(built)["The skin is"].value = "tan"
    assert "about tan" in shown(built)
    assert "common practice, no source" in shown(built)


def test_five_milligrams_of_carmine_are_a_twentieth_of_a_gram_of_extension(built):
    assert "take 0.05 g of the extension" in shown(built)
    assert "0.05 g is less than the 0.2 g that your balance weighs well: grind a weaker one, 2.5 % or less." in shown(built)
    fields(built)["Per cent of pigment in it"].value = 1
    assert "take 0.5 g of the extension, and leave 0.495 g of talc" in shown(built)


def test_a_row_of_tests_is_worked_out_or_refused_kindly(built):
    press(built, "Work out the row of tests")
    assert "Test 5: " in shown(built) and "<img" in shown(built)
    fields(built)["to"].value = "very light"
    press(built, "Work out the row of tests")
    assert "both are very light" in shown(built)


def test_a_photograph_becomes_a_kept_swatch(built, desk):
    boxes = choose(built, between_greys(Colour(66.1, 9.5, 15.4)))
    assert boxes.picture.startswith("data:image/jpeg")
    boxes.boxes = BOXES
    fields(built)["The swatches are"].value = "target"
    assert boxes.first == "grey"
    press(built, "Keep these swatches")
    (kept,) = desk.record.swatches
    assert (kept.name, kept.role, kept.pigments) == ("my powder", "target", ())
    assert kept.swatch().colour.difference(Colour(66.1, 9.5, 15.4)) < 1
    press(built, "Take the last kept swatch away")
    assert desk.record.swatches == ()


@pytest.mark.parametrize(
    ("boxes", "words"), [([], "each swatch"), (BOXES[2:], "grey card"), ([{**BOXES[0], "width": 2.0}], "within the picture")]
)
def test_boxes_that_tell_nothing_are_refused_kindly(built, desk, boxes, words):
    choose(built, between_greys(Colour(66, 9, 15))).boxes = boxes
    press(built, "Keep these swatches")
    assert words in shown(built)
    assert desk.record.swatches == ()


def test_what_is_no_picture_is_refused_kindly(built):
    boxes = choose(built, b"<script>alert(1)</script>")
    assert "no picture" in shown(built)
    assert boxes.picture == ""


def swatches():
    """Made up: a white base, two tints, the powder as it is, and a target between."""
    yellow, red = "iron-oxide-yellow", "iron-oxide-red"
    return (
        KeptSwatch("base", "base", (0.85, 0.84, 0.82)),
        KeptSwatch("yellow", "tint", (0.78, 0.68, 0.45), ((yellow, 0.02),)),
        KeptSwatch("red", "tint", (0.60, 0.35, 0.27), ((red, 0.02),)),
        KeptSwatch("now", "powder", (0.79, 0.72, 0.58), ((yellow, 0.008),)),
        KeptSwatch("<b>skin</b>", "target", (0.62, 0.47, 0.36)),
    )


def test_the_next_addition_is_shown_with_patches(desk):
    desk.begin(Record(swatches=swatches()))
    built = panel.build(desk)
    press(built, "Work out the next addition")
    assert "red iron oxide, 20 % in talc" in shown(built)
    assert "expected then" in shown(built)
    assert "<b>skin</b>" not in shown(built)


def test_without_swatches_it_says_which_are_missing(built, desk):
    press(built, "Work out the next addition")
    assert "pressed swatch of the powder" in shown(built)
    desk.begin(Record(swatches=swatches()[1:]))
    press(built, "Work out the next addition")
    assert "one swatch of the bare base" in shown(built)


def test_a_record_keeps_the_swatches():
    record = Record(swatches=swatches())
    assert Record.from_json(record.to_json()) == record
    assert Record.from_json(Record(text="Talc, 1 oz.").to_json()).swatches == ()


# -- a colour card ------------------------------------------------------------------------------------------------------------

CARD = {"red": (51, 48, 16), "lime": (72, -23, 57), "blue": (40, 10, -45), "white": (96, -1, 2), "rose": (66, 18, 18), "grey": (50, 0, 0)}
CARD_TEXT = "\n".join(f"{name}, {', '.join(map(str, lab))}" for name, lab in CARD.items())


CARD_BOXES = [
    {"name": "card", "left": 0.0, "top": 0.0, "width": 1.0, "height": 2 / 3},
    {"name": "my powder", "left": 0.3, "top": 0.75, "width": 0.4, "height": 0.2},
]


def test_a_colour_card_corrects_the_light_and_is_kept(built, desk):
    fields(built)["Beside the swatches lies"].value = "card"
    words = next(label for label in fields(built) if label.startswith("Colours of the card"))
    fields(built)[words].value = CARD_TEXT
    fields(built)["Patches in a row"].value = 3
    assert desk.record.card.columns == 3 and "6 patches, as it is understood" in shown(built)
    boxes = choose(built, beside_a_card(CARD, Colour(66.1, 9.5, 15.4)))
    assert boxes.first == "card"
    boxes.boxes = CARD_BOXES
    fields(built)["The swatches are"].value = "target"
    press(built, "Keep these swatches")
    (kept,) = desk.record.swatches
    assert kept.name == "my powder" and kept.swatch().colour.difference(Colour(66.1, 9.5, 15.4)) < 1
    assert "Corrected by 6 patches of the colour card" in shown(built)
    again = panel.build(desk)
    assert fields(again)["Beside the swatches lies"].value == "card", "the card is found again"


@pytest.mark.parametrize(
    ("text", "boxes", "words"),
    [
        (CARD_TEXT, CARD_BOXES[1:], "name it &#x27;card&#x27;"),
        ("red, 51, 48", CARD_BOXES, "line 1 of the colour card"),
        ("", CARD_BOXES, "not 0"),
        ("\n".join(reversed(CARD_TEXT.split("\n"))), CARD_BOXES, "upside down"),
    ],
)
def test_a_card_that_tells_nothing_is_refused_kindly(built, desk, text, boxes, words):
    fields(built)["Beside the swatches lies"].value = "card"
    label = next(label for label in fields(built) if label.startswith("Colours of the card"))
    fields(built)["Patches in a row"].value = 3
    fields(built)[label].value = text
    choose(built, beside_a_card(CARD, Colour(66, 9, 15))).boxes = boxes
    press(built, "Keep these swatches")
    assert words in shown(built)
    assert desk.record.swatches == ()


# -- what the maker's own batches showed --------------------------------------------------------------------------------------


def test_a_round_with_measured_batches(desk):
    """From the proposal to the next swatch: what was proposed is noted, the swatch kept with it, and the batches answer."""
    desk.begin(Record(swatches=swatches()))
    built = panel.build(desk)
    fields(built)["Worked out"].value = True
    press(built, "Work out the next addition")
    assert "keep it again with what was ground in" in shown(built)
    fields(built)["Worked out"].value = False
    press(built, "Work out the next addition")
    press(built, "I ground this in: note it for the next swatch")
    assert "Ground in: " in shown(built) and "red iron oxide, 20 % in talc, g:" in shown(built)
    choose(built, between_greys(Colour(74, 9, 20))).boxes = BOXES
    fields(built)["The swatches are"].value = "ground"
    press(built, "Keep these swatches")
    after = desk.record.swatches[-1]
    assert after.role == "powder" and after.into == 20 and after.added
    assert dict(after.pigments)["iron-oxide-red"] > 0
    fields(built)["Worked out"].value = True
    press(built, "Work out the next addition")
    assert "What each addition did" in shown(built) and "your batches" in shown(built)


def test_a_class_of_skin_as_the_target_and_a_blend_foreseen(desk):
    desk.begin(Record(swatches=swatches()[:-1]))
    built = panel.build(desk)
    press(built, "Work out the next addition")
    assert "keep one swatch as the target" in shown(built)
    fields(built)["The target is"].value = "tan"
    press(built, "Work out the next addition")
    assert "expected then" in shown(built)
    press(built, "Foresee this blend")
    assert "note first what colours" in shown(built)
    fields(built)["Colour of a blend"].value = "iron-oxide-red"
    press(built, "Note this colour of the blend")
    press(built, "Foresee this blend")
    assert "9 times in 10" in shown(built) and "From the target: " in shown(built)
    assert "ITA, degrees" in shown(built) and "A screen shows a colour only about" in shown(built)


def test_a_powder_of_several_pigments(built, desk):
    choose(built, between_greys(Colour(66, 9, 15))).boxes = BOXES
    fields(built)["The swatches are"].value = "powder"
    for key, per_cent in (("iron-oxide-yellow", 1.5), ("iron-oxide-red", 0.6)):
        fields(built)["In it"].value, fields(built)["Per cent of the powder"].value = key, per_cent
        press(built, "Note what colour is in it")
    press(built, "Keep these swatches")
    assert desk.record.swatches[0].pigments == (("iron-oxide-yellow", 0.015), ("iron-oxide-red", 0.006))


def test_after_grinding_wants_a_powder_before_and_something_noted(built, desk):
    choose(built, between_greys(Colour(66, 9, 15))).boxes = BOXES
    fields(built)["The swatches are"].value = "ground"
    press(built, "Keep these swatches")
    assert "note first what you ground in" in shown(built)
    press(built, "Note what I ground in")
    press(built, "Keep these swatches")
    assert "keep a pressed swatch of the powder as it is now" in shown(built)
    assert desk.record.swatches == ()


# -- an extension in the powder -----------------------------------------------------------------------------------------------


def test_an_extension_is_put_into_the_powder_and_out_again(desk):
    desk.begin(Record(text="Face Powder\nTalc 4 oz.\nRice starch 4 oz."))
    built = panel.build(desk)
    fields(built)["Pigment"].value = "iron-oxide-red"
    fields(built)["Per cent of my powder that is this extension"].value = 4
    press(built, "Put it into my powder")
    (taken,) = desk.record.extensions
    assert (taken.pigment, taken.share, taken.per_cent) == ("iron-oxide-red", 0.1, 4)
    assert "red iron oxide, 10 % in talc: 4 % of the powder" in shown(built)
    assert "Extension" in desk.record.batch().bench_sheet().to_markdown()
    fields(built)["use the pigment that my formula has"].value = True
    fields(built)["Pigment"].value = "carmine"
    press(built, "Put it into my powder")
    assert len(desk.record.extensions) == 2 and "passed over" in shown(built)
    fields(built)["Take out of the powder"].value = "iron-oxide-red"
    press(built, "Take it out")
    assert [e.pigment for e in desk.record.extensions] == ["carmine"]


def test_an_extension_that_leaves_no_room_is_refused_kindly(desk):
    desk.begin(Record(text="Face Powder\nTalc 4 oz.\nRice starch 4 oz."))
    built = panel.build(desk)
    for pigment in ("iron-oxide-red", "iron-oxide-yellow"):
        fields(built)["Pigment"].value = pigment
        fields(built)["Per cent of my powder that is this extension"].value = 80
        press(built, "Put it into my powder")
    assert "there is room for" in shown(built) and len(desk.record.extensions) == 1
