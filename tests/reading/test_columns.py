"""The short way through a plain list gives what the long way gives, and is taken for the lists it is meant for."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import histkit as hk
from histkit import glossary
from histkit.reading.columns import plain_columns
from histkit.reading.reader import read, read_closely
from histkit.reading.vocabulary import modifiers, table, units

GRAND = """ROSE-LEAF POWDER.

    Precipitated chalk (light) ........ 1-1/2 lb.
    Orris root, finely powdered ....... 4 oz.
    Cream of tartar                     2 drachms.
    Otto of rose, ..................... ½ drachm;

Mix the powders and sift them twice.
"""


def test_a_plain_list_is_read_at_once_and_right():
    found = plain_columns(GRAND)
    assert [(x.ingredient, x.modifier, x.amount, x.unit) for x in found.lines] == [
        ("Precipitated chalk (light)", "precipitated light", 1.5, "pound"),
        ("Orris root, finely powdered", "finely powdered", 4.0, "ounce"),
        ("Cream of tartar", "", 2.0, "drachm"),
        ("Otto of rose", "", 0.5, "drachm"),
    ]
    formula = read(GRAND)
    assert formula.lines == tuple(found.lines) and formula == read_closely(GRAND)
    assert (formula.title, formula.directions) == ("ROSE-LEAF POWDER", "Mix the powders and sift them twice.")


@pytest.mark.parametrize(
    "text",
    [
        'Wheat starch   12 lbs.\n"  orris   2 lbs.',  # a ditto mark
        "White wax and spermaceti, each,   1 oz.\nLard   1 lb.",  # shares an amount
        "Talc   4 oz.\nRose water   sufficient.",  # no figure
        "Salt   2 gr.\nBorax   1 kilo",  # grain or gramme
        "Talc   4 pt.\nChalk   3 pt.",  # part or pint
        "Talc   l0 oz.\nChalk   3 oz.",  # a worn figure
        "Talc   4 oz.\nMix.",  # nothing sets the directions apart
        "Parts.\n\nTalc   4 oz.\nChalk   3 oz.",  # a heading over the column
        "Talc   4 oz.\nChalk   3 oz.\n\nMix with 2 ounces of water.",  # an amount in the directions
        "Talc   4 oz.\nChalk   3 oz.\n\n(All by measure.)",
        "White powder, see above,   5 oz.\nChalk   3 oz.",  # another formula
        "Of talc   4 oz.\nChalk   3 oz.",
        "I.—Talc   4 oz.\nChalk   3 oz.",
        "Talc   0 oz.\nChalk   3 oz.",
    ],
)
def test_what_asks_for_a_closer_look_gets_it(text):
    assert plain_columns(text) is None or read(text) == read_closely(text)
    assert read(text) == read_closely(text)


NAMES = sorted({name.name for key in list(glossary.ingredients)[::9] for name in glossary.ingredients[key].names})
SPECIAL = sorted(
    {row["word"] for t in ("connectives", "directions", "figure_words", "numbers", "other_units") for row in table(t)}
    | {word for row in table("phrases") for word in row["phrase"].split()}
    | set(modifiers())
)
USUAL = ["oz", "ounces", "drachms", "grains", "lb", "drops", "parts", "pints", "drs"]


@st.composite
def names(draw):
    words = draw(st.sampled_from(NAMES)).split()
    if draw(st.integers(0, 4)) == 0:
        words.insert(draw(st.integers(0, len(words))), draw(st.sampled_from(SPECIAL)))
    name = " ".join(words) + draw(
        st.sampled_from(["", "", "", " (powdered)", ", powdered", " powder", ", in fine powder", " (true)"])
    )
    return draw(st.sampled_from([name, name, name.capitalize(), name.title(), name.upper()]))


@st.composite
def lists(draw):
    join = draw(st.sampled_from(["   ", " .... ", ", ", ",    ", "......", "  . . . . "]))
    rows = [
        f"{draw(names())}{join}{draw(st.sampled_from(['1', '4', '1/2', '1-1/2', '2 ½', '2.5', '1,600', '9', '1 & 1/2', '3 to 4']))} "
        f"{draw(st.sampled_from([*USUAL, *USUAL, *USUAL, *sorted(units())]))}{draw(st.sampled_from(['', '.', ';', ',']))}"
        for _ in range(draw(st.integers(1, 5)))
    ]
    above = [
        "",
        "",
        "\n",
        "COLD CREAM.\n\n",
        "Powder for the Face\n\n",
        "No. 3.\n\n",
        "ROUGE\n",
        "Parts.\n\n",
        "Oil of rose,\n\n",
        "℞\n\n",
    ]
    below = ["", "\n", "\n\nMix and sift.", "\n\nUse with 2 ounces of water.", "\nMix.", "\n\nA pleasant powder"]
    return draw(st.sampled_from(above)) + "\n".join(rows) + draw(st.sampled_from(below))


SOURCES = st.sampled_from([None, hk.Source(country="FR", year=1890), hk.Source(country="GB", year=1850)])


@given(lists(), SOURCES)
@settings(max_examples=400, deadline=None)
def test_the_short_way_and_the_long_way_end_in_one_place(text, source):
    try:
        closely = read_closely(text, source)
    except hk.ReadingError:
        assert plain_columns(text) is None
        return
    assert read(text, source) == closely


def test_each_word_of_the_tables_is_read_both_ways_alike():
    """What chance would seldom draw: every word that tells something about an amount, inside a name and behind one."""
    words = {row["word"] for row in table("figure_words") if len(row["word"]) > 1 and row["word"].isalpha()} | {*SPECIAL}
    lists = [text for word in sorted(words) for text in (f"Rice {word} starch   3 oz", f"Rice starch {word}   3 oz")]
    plain = [text for text in lists if plain_columns(text)]
    assert len(plain) > len(lists) / 4
    assert [text for text in plain if read(text) != read_closely(text)] == []


@given(
    st.lists(
        st.tuples(
            st.sampled_from(["Powdered talc", "Rice starch", "Orris root", "Cream of tartar", "Oxide of zinc"]),
            st.integers(1, 400).filter(lambda figure: str(figure)[1:] not in ("12", "14", "34", "54")),  # 212 may be a worn 2½
        ),
        min_size=1,
        max_size=8,
    ),
    st.sampled_from(USUAL),
)
def test_lists_without_any_oddity_take_the_short_way(rows, unit):
    text = "\n".join(f"{name} ..... {figure} {unit}" for name, figure in rows)
    assert [(x.ingredient, x.amount) for x in plain_columns(text).lines] == [(name, float(figure)) for name, figure in rows]


def test_a_text_of_a_million_blanks_or_words_is_let_go_at_once():
    for text in ("talc " * 150_000, " " * 900_000, "(" * 900_000, "talc, " * 150_000, "1 " * 450_000):
        assert plain_columns(text) is None
