"""A colour card: read from words, laid on a photograph whose light is known, refused with the reason."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from histkit.base.errors import BadValue
from histkit.shade import Box, Card, Colour, read_card, swatches_from

PATCHES = {
    "dark brown": (38, 14, 14), "pale rose": (66, 18, 18), "slate": (50, -5, -22), "moss": (43, -13, 22), "violet": (55, 9, -25),
    "sea": (71, -33, 0), "orange": (62, 36, 57), "blue": (40, 10, -45), "red": (51, 48, 16), "plum": (30, 23, -21),
    "lime": (72, -23, 57), "white": (96, -1, 2),
}  # fmt: skip
TEXT = "\n".join(f"{name}, {', '.join(map(str, lab))}" for name, lab in PATCHES.items())
SKIN = Colour(66.1, 9.5, 15.4)
MIXES = np.array([[0.9, 0.08, 0.02], [0.05, 0.9, 0.05], [0.02, 0.1, 0.88]])
"""What a camera mixes into its channels."""
SWATCH = [("mine", Box(0.4, 0.75, 0.2, 0.2))]
WHOLE = ("card", Box(0, 0, 1, 0.6))


def picture(upside_down=False, light=(1.1, 0.9, 0.6), tilt=0.0):
    """An invented card of three rows of four, a fifth of each patch's width a grey frame; below it a swatch of skin."""
    made = np.full((500, 400, 3), 0.2)
    colours = [Colour(*lab).channels for lab in PATCHES.values()]
    for n, channels in enumerate(reversed(colours) if upside_down else colours):
        row, column = divmod(n, 4)
        made[100 * row + 10 : 100 * row + 90, 100 * column + 10 : 100 * column + 90] = channels
    made[350:, 100:300] = SKIN.channels
    made = made @ MIXES * light * 0.6
    made *= 1 + tilt * (np.linspace(0, 1, 400)[None, :, None] - 0.5)
    return np.clip(made, 0, 1)


def test_one_box_over_the_whole_card_is_enough():
    found = swatches_from(picture(), SWATCH, card=read_card(TEXT, 4).on_picture([WHOLE]))
    assert found.swatches[0].colour.difference(SKIN) < 0.2
    assert "12 patches" in found.notes[0] and "the worst" in found.notes[0]


def test_boxes_on_patches_are_taken_by_their_names():
    card = read_card(TEXT, 4)
    places = {name: divmod(n, 4) for n, name in enumerate(PATCHES)}
    boxes = [(name.upper(), Box(c / 4 + 0.08, r / 5 + 0.06, 0.1, 0.08)) for name, (r, c) in places.items() if name != "moss"]
    laid = card.on_picture(boxes)
    assert len(laid.patches) == 11 and "moss" not in laid.names
    assert swatches_from(picture(), SWATCH, card=laid).swatches[0].colour.difference(SKIN) < 0.2
    both = card.on_picture([WHOLE, ("moss", Box(0.1, 0.1, 0.05, 0.05)), ("mine", SWATCH[0][1])])
    assert dict(zip(both.names, (box for box, _ in both.patches), strict=True))["moss"] == Box(0.1, 0.1, 0.05, 0.05)


def test_a_card_that_lies_upside_down_is_told():
    with pytest.raises(BadValue, match="upside down"):
        swatches_from(picture(upside_down=True), SWATCH, card=read_card(TEXT, 4).on_picture([WHOLE]))


def test_a_wrong_patch_is_named():
    wrong = read_card(TEXT.replace("red, 51, 48, 16", "red, 51, -60, 16"), 4)
    with pytest.raises(BadValue, match="without patch 'red' of the card it comes out 0"):
        swatches_from(picture(), SWATCH, card=wrong.on_picture([WHOLE]))


def test_greys_beside_a_card_show_uneven_light():
    left, right = Box(0.02, 0.75, 0.15, 0.2), Box(0.83, 0.75, 0.15, 0.2)
    laid = read_card(TEXT, 4).on_picture([WHOLE])
    assert swatches_from(picture(), SWATCH, [left, right], card=laid).swatches
    with pytest.raises(BadValue, match="differs by"):
        swatches_from(picture(tilt=0.3), SWATCH, [left, right], card=laid)


def test_a_card_of_greys_alone_is_refused():
    greys = read_card("\n".join(f"grey {n}, {n * 12 + 10}, 0, 0" for n in range(6)), 6)
    with pytest.raises(BadValue, match="too alike in colour"):
        swatches_from(picture(), SWATCH, card=greys.on_picture([WHOLE]))


def test_a_card_is_read_in_the_ways_that_sheets_have():
    by_hex = read_card("name,colour\n" + "\n".join(f"{name}, {Colour(*lab).hex}" for name, lab in PATCHES.items()), 4)
    german = read_card("\n".join(f"{name};{lab[0]},50;{lab[1]},0;{lab[2]},0" for name, lab in PATCHES.items()), 4)
    tabbed = read_card("patch\tL*\ta*\tb*\n" + "\n".join("\t".join(map(str, (name, *lab))) for name, lab in PATCHES.items()), 4)
    assert [name for name, _ in by_hex.patches] == list(PATCHES) == [name for name, _ in tabbed.patches]
    assert german.patches[0][1].lightness == 38.5
    assert by_hex.patches[8][1].difference(Colour(*PATCHES["red"])) < 0.5


def test_colours_for_d50_are_carried_over():
    """White stays white. Bradford by hand for one blue: worked out with colour-science, another library."""
    colour = pytest.importorskip("colour")
    white = Colour.under_d50(100, 0, 0)
    assert white.axes == pytest.approx((100, 0, 0), abs=0.01)
    lights = colour.CCS_ILLUMINANTS["CIE 1931 2 Degree Standard Observer"]
    for lab in PATCHES.values():
        xyz = colour.Lab_to_XYZ(lab, lights["D50"])
        carried = colour.adaptation.chromatic_adaptation_VonKries(
            xyz, colour.xy_to_XYZ(lights["D50"]), colour.xy_to_XYZ(lights["D65"]), transform="Bradford"
        )
        assert Colour.under_d50(*lab).axes == pytest.approx(tuple(colour.XYZ_to_Lab(carried, lights["D65"])), abs=0.05)


@pytest.mark.parametrize(
    ("text", "columns", "words"),
    [
        ("red, 50, 60, 20", 6, "6 to 200 patches, not 1"),
        (TEXT, 5, "rows of 5"),
        (TEXT, 0, "rows of 0"),
        (TEXT + "\nred, 1, 2, 3", 4, "name of its own"),
        (TEXT.replace("slate", "card"), 4, "none is called 'card'"),
        (TEXT + "\nred2, 50, 60", 4, "line 13 of the colour card"),
        (TEXT + "\nred2, 50, 60, 400", 4, r"line 13.*b\* is a number"),
        (TEXT + "\nred2, nan, 60, 40", 4, "line 13"),
        ("=cmd|' /C calc'!A0, 1\n" + TEXT, 4, "line 1"),
        ("", 4, "not 0"),
    ],
)
def test_what_is_no_card_is_refused_with_its_line(text, columns, words):
    with pytest.raises(BadValue, match=words):
        read_card(text, columns)


def test_a_light_that_is_none_is_refused():
    with pytest.raises(BadValue, match="D65 or D50"):
        read_card(TEXT, 4, "A")


def test_too_few_marked_patches_say_how():
    with pytest.raises(BadValue, match="name it 'card'.*and 1 are marked"):
        read_card(TEXT, 4).on_picture([("red", WHOLE[1]), ("mine", WHOLE[1])])


@given(st.text(max_size=200), st.integers(0, 12))
def test_any_words_are_a_card_or_refused(text, columns):
    try:
        card = read_card(text, columns)
    except BadValue:
        return
    assert isinstance(card, Card) and len(card.patches) % columns == 0
