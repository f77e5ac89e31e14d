"""Finding formulas among prose: single cases, then precision and recall over invented books."""

import time
from dataclasses import dataclass
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from invented_books import InventedBook, invented_book

from histkit.books import dividing
from histkit.books.dividing import Segment, segments
from histkit.books.evidence import evidence
from histkit.books.finding import find_formulas, find_in
from histkit.books.pages import Lines, pages

PROSE = """The ferry left at seven o'clock and reached the far bank before the church clock had struck the
half hour; nobody on board had been told why, and nobody asked.
"""


def only(text):
    (found,) = find_formulas(text)
    return found


def shown(passage):
    return passage.title, passage.first_line, passage.last_line


def test_columns_with_title_and_directions():
    text = f"{PROSE}\nVIOLET POWDER.\n\nWheat starch      12 lbs.\nOrris root         2 lbs.\n\nMix, and sift twice.\n\n{PROSE}"
    found = only(text)
    assert shown(found) == ("VIOLET POWDER", 4, 9)
    assert found.text == text[found.start : found.end]
    assert found.text.startswith("VIOLET POWDER.") and found.text.endswith("Mix, and sift twice.")
    assert found.body().text.startswith("Wheat starch")


@pytest.mark.parametrize(
    "block",
    [
        "Prepared chalk, 4 oz.\nPowdered myrrh, 2 drachms.",
        "Prepared chalk ........ 4 oz.\nPowdered myrrh ........ 2 drachms",
        "4 ounces of prepared chalk.\n2 drachms of powdered myrrh.",
        "Four ounces of prepared chalk.\nTwo drachms of powdered myrrh.",
        "Prepared chalk, four ounces; powdered myrrh, two drachms.",
        "Take of prepared chalk four ounces, powdered myrrh two drachms.",
        "℞ Cretæ præparatæ ℥iv\n  Pulv. myrrhæ ʒij",
        "℞ Cretæ præparatæ, ......... gr. xx\n  Pulv. myrrhæ, ......... gr. x",
        "Craie préparée ...... 100 grammes\nMyrrhe ...... 20 grammes",
        "Prenez : craie préparée, 100 grammes, myrrhe, 20 grammes.",
        "Schlämmkreide 50 Theile\nMyrrhe 10 Theile",
        "Prepared chalk, two pounds; powdered myrrh, half-a-pound.",
        "Equal parts of prepared chalk and powdered myrrh, scented with oil of rose.",
        "Two ounces of prepared chalk, and half the quantity of powdered myrrh.",
        "Magnesiumcarbonat 100,0\n\nSchlämmkreide 900,0\n\nPfefferminzöl 2,0.",
        "1. Myrrhenpulver 90,0\n\nWeingeist 500,0\n\nNelkenöl 5 Trpf.",
        "                Parts.\nPrepared chalk      100\nPowdered myrrh       20",
        'Prepared chalk,     4 oz.\nOtto of rose,       2 drachms.\n "  cloves,         1   "',
        "Prepared chalk,    4 oz.\nOil of cloves,   }\nOil of rose,     } of each 10 drops",
        "one drachm of carmine to two\nounces of prepared chalk",
        "Prepared chalk and powdered myrrh, each half an\nounce; oil of cloves, ten drops",
        "Prepared chalk      ℥ 4\nPowdered myrrh      ʒ 2",
        "Prepared chalk      gr. 20\nPowdered myrrh      gr. 10",
        "[Rx] Prepared chalk      [oz]iv\n     Powdered myrrh      [dram]ij",
        "Prepared chalk      40 c.c.\nTincture of myrrh   20 c. c.",
        "Prepared chalk, three-fourths of a pound; powdered myrrh, one-half ounce.",
        "Prepared chalk and powdered myrrh each 5 parts, talc\n15, borax 10, oil of cloves 1.",
        "Prepared chalk, a pint of it; powdered myrrh, an ounce; oil of cloves, a drachm.",
        "℞ Aquæ rosæ      Oij\n  Boracis        ʒj",
        "℞ Pulv. acidi borici,\n  Pulv. amyli, ......āā...... ʒij.   M.",
        "Prepared chalk     5O parts\nPowdered myrrh     l part",
        "ſtarch, 4 oz.\nſpermaceti, 2 oz.",
    ],
)
def test_notations(block):
    text = f"{PROSE}\nTooth Powder.\n\n{block}\n\n{PROSE}"
    found = only(text)
    assert found.title == "Tooth Powder"
    assert (found.first_line, found.last_line) == (4, 5 + len(block.split("\n")))


@pytest.mark.parametrize(("line", "prices"), [("Galls, lb.   25   30", 1), ('Gum, "   1 00   1 10', 1), ("Prepared chalk, oz. 1 1/2", 0), ("Orris, lb. 2 oz. 3", 0), ("Myrrh, gr. 20", 0)])
def test_two_figures_behind_a_unit_are_prices(line, prices):
    assert evidence(line).price == prices


@pytest.mark.parametrize(
    "prose",
    [
        "In May we had from forty acres no more than forty pounds of flowers, and were paid three\nfrancs for every hundred pounds.",
        "Orris root, per lb.         1s. 4d.\nGum benzoin, per lb.        3s. 6d.\nWhite wax, the pound        2s. 0d.",
        "CONTENTS\n\nViolet powder ........ 12\nRose powder .......... 14\nAlmond paste ......... 20\nCold cream ........... 31",
        "INDEX.\n\nAlmonds, oil of, 12, 45\nBorax, 14\nCamphor, 31, 32, 90\nOrris root, 7",
        "GALLS, powdered           lb.     25       30\nBORAX                      \"      12       14\nGUM, Arabic, select        \"    1 00     1 10\nGLYCERINE, 30°            oz.     22       25",
        "The post brought letters under half an ounce for ninepence, and above an ounce by agreement.",
        "A glass of the size of a pint, half filled with water and set upon the sill, will tell you\nhow much dust a street can raise.",
        "The tent                   12 lbs.\nTwo saddles                30 lbs.\nA writing desk             14 lbs.\nBooks                      60 lbs.",
        "Height, 2 feet 8 inches;\nDepth, 5 feet 8 inches;\nBreadth of the door, 3 feet 5 inches;",
    ],
)
def test_no_formula(prose):
    assert find_formulas(f"{PROSE}\n{prose}\n\n{PROSE}") == ()


@pytest.mark.parametrize(
    "told",
    [
        "CREAM OF TARTAR.--Dose: 1--8 drams.\n\nPotassium bromide.--Dose: 15--60 grains.",
        "White powder.--Sol. in 3 parts water, 10 parts alcohol.\nDose: 3--8 grains.",
        "Soluble in 10 parts alcohol, 100 parts ether.\nInsoluble in oil.",
        "DOSE.--Horses and cattle, 2 to 4 oz.; sheep and pigs, 1 to 2 oz.; dogs,\n1 to 4 dr., diluted with three times its bulk of water.",
        "For adults 0.6 gramme (10 grains) in milk, for infants 0.1 gramme (2 grains) in syrup.",
        "The town used in one year 80,000 lbs. of orange flowers, 54,000 lbs. of rose leaves\nand 32,000 lbs. of jasmine.",
    ],
)
def test_doses_and_solubilities_of_a_handbook_are_no_formula(told):
    assert not find_formulas(f"{PROSE}\n{told}\n\n{PROSE}")


def test_a_formula_may_tell_its_dose():
    assert find_formulas(f"{PROSE}\nRhubarb, 2 drachms.\nMagnesia, 1 ounce.\nDose, a teaspoonful.\n\n{PROSE}")


def test_empty_and_blank_texts_hold_none():
    assert find_formulas("") == find_formulas("\n \n") == find_formulas(PROSE) == ()


def test_a_formula_over_a_page_break_stays_one():
    pieces = [PROSE + "\n", "Cold Cream.\n\nWhite wax       1 oz.\nSpermaceti      1 oz.\n"]
    text = pieces[0] + pieces[1] + "\n112            THE TOILET TABLE\n\nAlmond oil      4 oz.\nRose water      4 oz.\n\nMelt and stir until cold.\n"
    prose = (PROSE + "\n") * 10
    book = f"\n111            THE TOILET TABLE\n\n{prose}{text}\n{prose}\n113            THE TOILET TABLE\n\n{PROSE}"
    found = only(book)
    assert found.title == "Cold Cream"
    assert found.page == 111
    assert "THE TOILET TABLE" in found.text  # the passage is a slice of the book
    assert "TABLE" not in found.body().text and "112" not in found.body().text
    body = found.body().text
    assert body.split("\n")[:4] == ["White wax       1 oz.", "Spermaceti      1 oz.", "Almond oil      4 oz.", "Rose water      4 oz."]
    at = body.index("Almond")
    assert book[found.body().offset(at) :].startswith("Almond oil      4 oz.")


def test_divided_words_are_joined_and_still_lead_home():
    text = f"{PROSE}\nTooth Powder.\n\nTake prepared chalk four ounces, pow-\ndered myrrh two drachms, and oil of cloves ten drops.\n"
    found = only(text)
    body = found.body()
    assert "powdered myrrh" in body.text
    assert text[body.offset(body.text.index("dered")) :].startswith("dered myrrh")


def test_title_in_the_line():
    found = only(f"{PROSE}\n VIOLET POWDER.—Starch, 12 lbs.; orris root, 2 lbs.; otto of lemon, half an ounce. Mix.\n")
    assert found.title == "VIOLET POWDER"
    assert found.body().text.startswith("Starch, 12 lbs.")


@pytest.mark.parametrize(
    ("above", "title", "first"),
    [
        ("No. 14.\n\nRose Tooth Powder.\n", "Rose Tooth Powder", 4),
        ("Rose Tooth Powder.\n\nNo. 14.\n", "Rose Tooth Powder", 4),
        ("14. Rose Tooth Powder.\n", "Rose Tooth Powder", 4),
        ("XIV.—Rose Tooth Powder\n", "Rose Tooth Powder", 4),
        ("_Rose Tooth Powder._", "Rose Tooth Powder", 4),
        ("         ROSE TOOTH POWDER\n", "ROSE TOOTH POWDER", 4),
        ("14.\n", "14", 4),
        ("which was all that could be had at that time of the year and in that place,\n", "", 6),
    ],
)
def test_titles(above, title, first):
    found = only(f"{PROSE}\n{above}\nPrepared chalk      4 oz.\nPowdered myrrh      2 oz.\n\n{PROSE}")
    assert (found.title, found.first_line) == (title, first)


def test_directions_go_on_after_a_page_break_and_stop_at_prose():
    page = (PROSE + "\n") * 8
    text = (
        f"{page}[Page 11]\n\n{page}Tooth Powder.\n\nChalk        4 oz.\nMyrrh        1 oz.\n\nMix them in a mortar, and when\n\n[Page 12]\n\n"
        f"they are well mixed sift them twice.\n\nKeep it dry.\n\nAdd no water.\n\n{page}\n[Page 13]\n"
    )
    found = only(text)
    assert found.text.endswith("Add no water.") or found.text.endswith("Keep it dry.")
    assert "sift them twice" in found.body().text and "Page" not in found.body().text
    assert "It rained" not in found.text and "ferry" not in found.text


def test_a_line_without_a_figure_belongs_to_the_double_spaced_list_above_it():
    found = only("Dextrin ........ 8 parts\n\nTalc ........ 25 parts\n\nSimple syrup, sufficient. Perfume, to taste, sufficient.\n\n" + PROSE)
    assert (found.first_line, found.last_line) == (1, 5)


def test_numbers_divide_columns_of_grammes():
    found = find_formulas("1. Talk 90,0\n\nMyrrhe 15,0\n\nBorax 250,0\n\n2. Alaun 125,0\n\nKreide 500,0\n\nNelkenöl 1,0\n")
    assert [(p.first_line, p.last_line) for p in found] == [(1, 5), (7, 11)]


def test_numerals_divide_formulas_and_the_title_holds_for_all():
    text = f"{PROSE}\nTooth Powders.\n\nI.—Chalk       4 oz.\n   Myrrh       1 oz.\n\nII.—Chalk      6 oz.\n    Borax      1 oz.\n"
    assert [(p.title, p.first_line) for p in find_formulas(text)] == [("Tooth Powders", 4), ("Tooth Powders", 9)]


def test_an_added_solution_belongs_to_its_formula():
    text = "Freckle Ointment.\n\nZinc ointment   5 grams\nLanolin        30 grams\n\nAnd stir into this a solution of\n\nBorax           2 grams\nRose water     10 grams\n"
    assert len(find_formulas(text)) == 1


def test_footnotes_are_set_aside():
    page = (PROSE + "\n") * 8
    block = "Tooth Powder.\n\nChalk        4 oz.\nMyrrh*       1 oz.\n\n* That of Turkey is the best, and costs two shillings.\n"
    text = f"{page}\n[Page 11]\n\n{page}{block}\n[Page 12]\n\nBorax        1 oz.\n\n{page}\n[Page 13]\n{PROSE}"
    found = only(text)
    assert "Turkey" in found.text and "Turkey" not in found.body().text
    assert "Borax" in found.body().text


def test_a_short_paragraph_with_a_verb_early_is_directions():
    found = only(f"Tooth Powder.\n\nChalk       4 oz.\nMyrrh       1 oz.\n\nThe chalk is sifted, and the whole mixed in a mortar.\n\n{PROSE}")
    assert found.text.endswith("mixed in a mortar.")


def test_prose_of_a_paragraph_of_its_own_ends_a_formula():
    text = "Chalk       4 oz.\nMyrrh       1 oz.\n\nwhich every barber of that town had sold for a great many years,\n\nTalc        3 oz.\nStarch      1 oz.\n"
    assert [(p.first_line, p.last_line) for p in find_formulas(text)] == [(1, 2), (6, 7)]


@pytest.mark.parametrize("between", ["", "In the pound\n\n"])
def test_an_analysis_announces_itself_in_the_two_lines_above(between):
    assert find_formulas(f"{PROSE}\nAnalysis of a Powder\n\n{between}Chalk       4 oz.\nMyrrh       1 oz.\n\n{PROSE}") == ()


def test_two_amounts_at_the_end_of_a_long_paragraph_are_no_formula():
    prose = "The ferry left at seven and reached the far bank before the church clock had struck,\nand nobody on board had been told why the old woman carried\n"
    assert find_formulas(f"{prose}chalk, 4 oz.; myrrh, 2 oz.\n\n{PROSE}") == ()
    assert len(find_formulas(f"chalk, 4 oz.; myrrh, 2 oz.\n\n{PROSE}")) == 1


def test_a_column_of_figures_that_only_rise_is_a_list_of_pages():
    assert len(find_formulas("Chalk        10\nMyrrh         3\nBorax         6\nTalc          1\n")) == 1
    assert find_formulas("Chalk         1\nMyrrh         3\nBorax         6\nTalc         10\n") == ()


def test_a_long_title_may_stand_in_the_line_and_a_joined_name_keeps_its_hyphen():
    found = only("A FINE POWDER FOR THE TEETH.—Chalk, 4 oz.; Rose-\nWater, 2 oz.; orris root, 1 oz. Mix.\n")
    assert found.title == "A FINE POWDER FOR THE TEETH" and "Rose-\nWater" in found.body().text


# -- pages ---------------------------------------------------------------------------------------------------------------


def a_book(page_marks):
    return "\n".join(f"{mark}\n\n{(PROSE + chr(10)) * 9}" for mark in page_marks)


@pytest.mark.parametrize(
    "marks",
    [
        ["[Page 41]", "[Page 42]", "[Page 43]", "[Page 44]"],
        ["{41}", "{42}", "{43}", "{44}"],
        ["41", "42", "43", "44"],
        ["- 41 -", "- 42 -", "- 43 -", "- 44 -"],
        ["41        THE TOILET", "THE TOILET        42", "43        THE TOILET", "THE TOILET        44"],
    ],
)
def test_page_numbers(marks):
    text = a_book(marks)
    layout = pages(text)
    assert [n for _, n in layout.marks] == [41, 42, 43, 44]
    assert layout.page_at(0) == 41
    assert layout.page_at(text.index(marks[2]) + 60) == 43
    assert all(text.find(mark) in layout.furniture for mark in marks)


def test_form_feeds_count_pages():
    text = "\f".join(PROSE + "\n" for _ in range(4))
    assert [n for _, n in pages(text).marks] == [1, 2, 3, 4]


def test_a_number_at_the_foot_belongs_to_the_page_above_it():
    text = "\f".join(f"{(PROSE + chr(10)) * 9}\n      {n}\n" for n in (7, 8, 9, 10))
    layout = pages(text)
    assert layout.page_at(text.index("\f") - 400) == 7
    assert layout.page_at(text.index("\f") + 400) == 8


def test_numbers_in_no_order_are_no_pages():
    assert pages(a_book(["7", "3", "900", "12"])).marks == ()
    assert pages("\n".join(f"Chalk    {n}" for n in range(1, 60))).marks == ()


def test_words_that_come_again_elsewhere_are_no_running_head():
    text = a_book(["[Page 1]\nMix and sift.", "[Page 2]\nMix and sift.", "[Page 3]\nMix and sift."])
    assert text.index("Mix") in pages(text).furniture
    often = text + "\n".join(f"{PROSE}\nMix and sift.\n\n{PROSE}" for _ in range(8))
    assert often.index("Mix") not in pages(often).furniture


def test_words_of_whoever_keeps_the_text_are_left_out():
    powder = "Face Powder.\n\nTalc      4 oz.\nStarch    2 oz.\n\n"
    text = f"About this file\n\n{powder}*** START OF THIS TEXT ***\n\n{PROSE}\n{powder}{PROSE}\n*** END OF THIS TEXT ***\n\n{powder}"
    found = only(text)
    assert found.start == text.index("Face", text.index("START"))


# -- dividing ------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("held_back", [False, True])
@pytest.mark.parametrize("seed", range(4))
@pytest.mark.parametrize("size", [400, 3000])
def test_where_a_book_is_divided_changes_nothing(monkeypatch, seed, held_back, size):
    text = invented_book(seed, held_back, prose=6).text
    whole = find_formulas(text)
    monkeypatch.setattr(dividing, "SEGMENT", size)
    layout = pages(text)
    cut = segments(text, layout)
    assert len(cut) > 2
    assert find_formulas(text) == whole
    assert "".join(text[s.start : s.end] for s in cut) == text
    starts = Lines.of(text).starts
    assert all(starts[s.first_line - 1] == s.start for s in cut)


@pytest.mark.parametrize(("lines_between", "formulas"), [(2, 1), (3, 1), (4, 2)])
def test_more_than_three_lines_of_prose_part_two_formulas_however_short(lines_between, formulas):
    between = "".join(f"nobody {did}\n" for did in ("asked", "knew", "came", "left")[:lines_between])
    text = f"{PROSE}\nTooth Powder.\n\nChalk       4 oz.\nMyrrh       1 oz.\n{between}Talc        2 oz.\nStarch      3 oz.\n\n{PROSE}"
    assert len(find_formulas(text)) == formulas


def test_prose_between_counts_though_a_name_stands_alone_below_it():
    """A line of an account that holds a name and nothing else makes no ingredients of the sentence that it stands in."""
    account = "4 oz. of chalk,\n1 oz. of myrrh,\nwas all that the ferry had left at the far bank for\norris root\nand nobody knew how the boy had come by\n2 oz. of starch\n"
    assert find_formulas(f"{PROSE}\n{account}\n{PROSE}") == ()


def test_no_cut_falls_into_directions(monkeypatch):
    """However long the book is before the formula: where it is whole is known from the book that is not cut at all."""
    directions = "Sift it through the finest hair sieve that any shop of the town keeps\nand put it where nobody of the household will ever find it again.\n\n" * 2
    for before in range(1, 8):
        text = f"{PROSE}\n" * before + f"Tooth Powder.\n\nChalk       4 oz.\nMyrrh       1 oz.\n\n{directions}" + f"{PROSE}\n" * 6
        found = only(text)
        assert found.text.count("Sift it") == dividing.MOST_DIRECTIONS
        with monkeypatch.context() as patch:
            patch.setattr(dividing, "SEGMENT", 300)
            cuts = [segment.start for segment in segments(text, pages(text))]
            assert len(cuts) > 2 and not [cut for cut in cuts if found.start < cut < found.end]
            assert only(text) == found


def test_a_book_of_nothing_but_formulas_is_divided_at_titles(monkeypatch):
    monkeypatch.setattr(dividing, "SEGMENT", 1000)
    text = "".join(f"Powder No. {i}.\n\nTalc      4 oz.\nStarch    2 oz.\n\n" for i in range(2000))
    cut = segments(text, pages(text))
    assert len(cut) > 10
    assert all(text[s.start :].startswith("Powder No.") for s in cut)
    assert len(find_formulas(text)) == 2000


def test_the_longest_text_without_a_place_to_divide_it_is_divided_all_the_same():
    text = "talc, 2 oz.\n" * 100_000
    assert len(segments(text, pages(text))) > 1


# -- any text ------------------------------------------------------------------------------------------------------------

PIECES = ["talc", "2 oz.", "½", "℥ij", "℞", "Take of", "\n", "\n\n", "\f", "   ", "....", '"', "}", "[Page 3]", "12", "—", "Mix.", "POWDER", "-\n", "\r", "\u2028", "*", "of each", ",", "\x00", "ſ", "🜍"]


@settings(max_examples=300, deadline=None)
@given(st.lists(st.sampled_from(PIECES) | st.text(max_size=8), max_size=60).map("".join))
def test_any_text(text):
    found = find_formulas(text)
    for before, after in pairwise(found):
        assert before.end <= after.start
    starts = Lines.of(text).starts
    for p in found:
        assert p.text == text[p.start : p.end] and p.start <= p.block <= p.end
        assert starts[p.first_line - 1] == p.start
        body = p.body()
        assert [text[body.offset(i)] for i in range(len(body.text))] == list(body.text)
        kept = {body.offset(i) for i in range(len(body.text))}
        aside = {i for a, b in p.set_aside for i in range(a, b)}
        lost = [i for i in range(p.block, p.end) if text[i].isalnum() and i not in kept and i not in aside]
        assert not lost


@pytest.mark.parametrize("piece", ["talc 2 oz\n", "talc 2 oz\n\n", ". . ", "a-\n", "\f\n", "[Page 3]\n", "* note\n", "mix it,\n", "1 ", "TALC.—"])
def test_time_grows_with_the_length_and_no_faster(piece):
    def seconds(text):
        began = time.process_time()
        find_formulas(text)
        return time.process_time() - began

    small = piece * (30_000 // len(piece))
    seconds(small)
    short = min(seconds(small) for _ in range(3))
    assert seconds(small * 8) < 8 * 4 * short + 0.2


# -- precision and recall ------------------------------------------------------------------------------------------------


@dataclass
class Score:
    """A passage and a formula match where their lines overlap by half of all the lines of both."""

    found: int = 0
    extra: int = 0
    missed: int = 0
    titles: int = 0
    exact: int = 0
    pages: int = 0
    paged: int = 0

    def add(self, book: InventedBook):
        left = list(find_formulas(book.text))
        for truth in book.formulas:
            best = None
            for p in left:
                common = min(p.last_line, truth.last_line) - max(p.first_line, truth.first_line) + 1
                union = max(p.last_line, truth.last_line) - min(p.first_line, truth.first_line) + 1
                if common >= 0.5 * union:
                    best = p
                    break
            if best is None:
                self.missed += 1
                continue
            left.remove(best)
            self.found += 1
            self.titles += best.title.casefold() == truth.title.casefold()
            self.exact += (best.first_line, best.last_line) == (truth.first_line, truth.last_line)
            if truth.page is not None:
                self.paged += 1
                self.pages += best.page == truth.page
        self.extra += len(left)

    @property
    def precision(self):
        return self.found / (self.found + self.extra)

    @property
    def recall(self):
        return self.found / (self.found + self.missed)

    def __str__(self):
        return (
            f"{self.found + self.missed} formulas: precision {self.precision:.3f}, recall {self.recall:.3f}, first and last line right "
            f"{self.exact / self.found:.3f}, title right {self.titles / self.found:.3f}, page right {self.pages / self.paged:.3f}"
        )


@pytest.mark.parametrize("held_back", [False, True], ids=["tuning", "held back"])
def test_precision_and_recall(held_back, capsys):
    """24 books of 25 formulas each, of seeds not used before; the second bank was written before the finder and read once for faults."""
    score = Score()
    for seed in range(1000, 1024):
        score.add(invented_book(seed, held_back))
    with capsys.disabled():
        print(f"\n  finding formulas, {'held-back' if held_back else 'tuning'} bank: {score}")
    assert score.precision >= 0.97
    assert score.recall >= 0.96
    assert score.titles >= 0.95 * score.found
    assert score.exact >= 0.93 * score.found
    assert score.pages >= 0.97 * score.paged


def test_an_invented_book_is_what_it_says():
    book = invented_book(7)
    lines = book.text.split("\n")
    assert len(book.formulas) == 25
    for truth in book.formulas:
        assert truth.first_line <= truth.block[0] <= truth.block[1] <= truth.last_line
        assert lines[truth.last_line - 1].strip()
    assert invented_book(7) == book != invented_book(8)


def test_find_in_gives_places_in_the_book():
    text = f"{PROSE}\nFace Powder.\n\nTalc      4 oz.\nStarch    2 oz.\n"
    segment = Segment(1000, 1000 + len(text), 51)
    (found,) = find_in(text, segment, pages(""))
    assert found.start == 1000 + text.index("Face") and found.first_line == 54
