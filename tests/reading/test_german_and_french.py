"""Guards: German and French print, one of each class of what was once misread. The sentences are made up in the way of the books."""

import pytest

import histkit as hk

GERMAN = hk.Source(title="", author="", year=1850, country="DE")
FRENCH = hk.Source(title="", author="", year=1830, country="FR")


def told(text, source=GERMAN):
    """(amount, unit, printed name) of each line."""
    return [(line.amount, line.unit, line.full_name) for line in hk.read(text, source=source).lines]


def meant(name):
    match = hk.glossary.find(name)
    return match and match.ingredient.id


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("Man nimmt anderthalb Pfund Butter, ein und ein halbes Loth Zimmt und zwei und einem halben Pfund Mehl",
         [(1.5, "pound", "Butter"), (0.75, "ounce", "Zimmt"), (2.5, "pound", "Mehl")]),
        ("Nimm ein Viertel Pfund Butter, drei Viertel Pfund Mehl und fünf Achtel Liter Milch",
         [(0.25, "pound", "Butter"), (0.75, "pound", "Mehl"), (0.625, "litre", "Milch")]),
        ("2 Quentgen Alaun, 3 Gewichtstheilen Soda, ein Nößel Wein und eine Kanne Wasser",
         [(2, "drachm", "Alaun"), (3, "part", "Soda"), (1, "pint", "Wein"), (1, "quart", "Wasser")]),
        ("1 gestrichener Theelöffel Soda, zwei Eßlöffel voll Rum, 2 Hände voll Petersilie und 5 Deka Zucker",
         [(1, "teaspoonful", "Soda"), (2, "tablespoonful", "Rum"), (2, "handful", "Petersilie"), (50, "gram", "Zucker")]),
        ("Butter wird mit 6 Eiern und zwei Pfund Mehl abgerührt", [(6, "piece", "Eiern"), (2, "pound", "Mehl")]),
        ("Zu einer Maß Milch nimmt man acht Eier und ein Achtel Pfund Zucker",
         [(1, "quart", "Milch"), (8, "piece", "Eier"), (0.125, "pound", "Zucker")]),
        ("1 Pfd. Mehl, je 2 Loth Zimmt und Nelken", [(1, "pound", "Mehl"), (1, "ounce", "Zimmt"), (1, "ounce", "Nelken")]),
        ("mit 10 Pfd. kaltem Wasser zerrührt, mit 1/2 Pfd. engl. Schwefelsäure gelöst",
         [(10, "pound", "kaltem Wasser"), (0.5, "pound", "engl. Schwefelsäure")]),
        ("man gieße hierauf drei Gallonen Alkohol (24 Pfd.) auf 2 Pfd. Harz",
         [(3, "gallon", "Alkohol (24 Pfd.)"), (2, "pound", "Harz")]),
        ("3 Pfd. Alaun und 0,125 g Borax. Die Lösung muß stark seyn, von 1,₅ bis 1,₆ spec. Gewicht",
         [(3, "pound", "Alaun"), (0.125, "gram", "Borax")]),
        ("1 Th. Salpetersäure von 1,5 sp. G.; 25 Thn. Kupfer; 2 k Alaun",
         [(1, "part", "Salpetersäure von 1,5 sp. G"), (25, "part", "Kupfer"), (2, "kilogram", "Alaun")]),
        ("4 Loth Korinthen, etwas Salz und das Gelbe von sechs Eiern",
         [(2, "ounce", "Korinthen"), (None, "none", "Salz"), (6, "piece", "das Gelbe von Eiern")]),
        ("4 Loth Zucker, den Saft einer Citrone, 2 Loth Mandeln",
         [(2, "ounce", "Zucker"), (1, "piece", "Saft einer Citrone"), (1, "ounce", "Mandeln")]),
    ],
)  # fmt: skip
def test_german_amounts(text, expected):
    assert told(text) == expected


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("Ajoutez un jaune cru ainsi qu'une cuillerée de moutarde, un demi-setier de vin",
         [(1, "piece", "jaune cru"), (1, "tablespoonful", "moutarde"), (0.25, "pint", "vin")]),
        ("deux ou trois cuillerées de farine et un peu de sel", [((2, 3), "tablespoonful", "farine"), (None, "none", "sel")]),
        ("une livre ou une livre et demie de suif, 2 onces de cire", [((1, 1.5), "pound", "suif"), (2, "ounce", "cire")]),
    ],
)  # fmt: skip
def test_french_amounts(text, expected):
    assert told(text, FRENCH) == expected


def test_a_lot_is_no_lot():
    assert told("Alaun, ein Lot, Myrrhe, zwei Lot.") == [(0.5, "ounce", "Alaun"), (1, "ounce", "Myrrhe")]
    assert told("Take a lot of trouble with an ounce of myrrh.", hk.Source(country="GB")) == [(1, "ounce", "myrrh")]


@pytest.mark.parametrize(
    ("printed", "expected"),
    [
        ("salpetersauren Silbers", "silver-nitrate"), ("rothem chromsaurem Kali", "potassium-dichromate"),
        ("schwefelsaurer Magnesia", "magnesium-sulfate"), ("heißen Wassers", "water"), ("gebrannten Kalkes", "calcium-oxide"),
        ("weißen Arsenik", "arsenic-trioxide"), ("feingeschnittenen Zwiebeln", "onion"), ("farine tamisée", "wheat-flour"),
        ("beurre fondu", "butter"), ("Jodkaliumlösung", "potassium-iodide"), ("engl. Schwefelsäure", "sulfuric-acid"),
    ],
)  # fmt: skip
def test_names_in_any_case(printed, expected):
    assert meant(printed) == expected


@pytest.mark.parametrize("word", ["kitten", "weiner", "binder", "rinds", "harts horn shavings"])
def test_english_is_not_declined_as_german(word):
    assert meant(word) in (None, "hartshorn"), meant(word)


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("20 Tropfen Orangenschalen-, Citronen- und Lavendelöl, 2 Loth Wasser", ["orange-oil", "lemon-oil", "lavender-oil", "water"]),
        ("Rosen- und Lavendelwasser je 2 Loth", ["rose-water", "lavender-water"]),
        ("Angelica-, Baldrian- und Alantwurzel von jedem 3 Loth", ["angelica-root", "valerian-root", "elecampane-root"]),
        ("Citronen und Lavendelöl von jedem 3 Loth", ["lemon", "lavender-oil"]),
    ],
)
def test_a_hyphen_at_the_end_of_a_name_stands_for_the_second_half_of_the_next(text, found):
    translation = hk.translate(hk.read(text, source=GERMAN))
    assert [line.ingredient.id for line in translation.lines] == found


def test_german_amounts_of_the_eighteenth_century():
    text = "Nehmet Zimmet und Ladanum, jedes eine Untze, Mastix drittehalbes Qventgen, Storax anderthalbes Qventgen, Zucker zwey Loth."
    assert told(text) == [
        (1, "ounce", "Zimmet"), (1, "ounce", "Ladanum"), (2.5, "drachm", "Mastix"), (1.5, "drachm", "Storax"), (1, "ounce", "Zucker"),
    ]  # fmt: skip


def test_en_suffisante_quantite():
    assert told("Sel, gros poivre, en suffisante quantité, vinaigre deux onces.", FRENCH)[-2:] == [
        (None, "q.s.", "gros poivre"),
        (2, "ounce", "vinaigre"),
    ]


def test_a_ditto_mark_and_a_unit_carried_on_repeat_the_printed_unit_and_not_ours() -> None:
    """Half an ounce to a Loth (Meyers Konversations-Lexikon), also where the page leaves the word out."""
    printed = "18 Loth Weinstein,\n6  „  Stärke,\n3  „  Orseille."
    assert [(line.amount, line.unit) for line in hk.read(printed).lines] == [(9.0, "ounce"), (3.0, "ounce"), (1.5, "ounce")]
    carried = hk.read("Man nimmt 6 Loth Zucker, 4 Salz.").lines[1]
    assert (carried.amount, carried.unit) == (2.0, "ounce") and carried.doubts
    assert [line.amount for line in hk.read("2 dwt. of saffron, 3 ditto of cloves").lines] == [48.0, 72.0]


def test_a_latin_name_in_a_german_sentence_is_not_cut_at_its_small_letter():
    assert told("Man nehme zwei Eßlöffel Fenchel, einen Eßlöffel Foenum graecum, einen Eßlöffel Aloëpulver")[1] == (
        1.0, "tablespoonful", "Foenum graecum",
    )  # fmt: skip


@pytest.mark.parametrize("said", ["gehörige Quantität", "die erforderliche Menge", "einer hinlänglichen Menge"])
def test_so_much_as_is_needed_in_german(said):
    assert told(f"2 Loth Salz, {said} Wasser")[1] == (None, "q.s.", "Wasser")
