"""How much of what is printed the glossary knows: names of ingredients, drawn by chance from books that gave it no rows.

`drawn_200.csv` is evidence of one day (29 November 2026). In 38 books of 1657 to 1922, none of them among the books that the glossary's
names were gathered from, seeded chance chose places with a measure beside others; the name that stands there was noted as printed,
once each, and 200 of the 309 were drawn. What each is today (`is`) was written down before the look-up saw a name; `ingredients` are
the glossary's rows for it, empty where it had none that day; `who_says` is the page or the book that settles a name, else one's own
judgement. One name that had been typed from half a word was put right afterwards. Found at first sight: 181 right, six with a doubt
(two of them right among the meanings that it names), three wrong without a word, ten unknown. Rows that are added for the unknown ones make it no evidence
any more: then the figures are a guard, and the next 200 are drawn.

`drawn_200_second.csv` is the next draw (30 November 2026): 26 other books of 1662 to 1920, of pharmacy and toilet foremost, 200 of
232 names. In the books that could be read whole, seeded chance chose the places and a name at or just beside the place was noted;
five names come from passages of three toilet books that were to be had in extracts only. The rows that a key names were sought by id
and name in the tables after its meaning was settled. Eleven names have no row. Found at first sight: 168 right (25 of them with a
doubt), eight another thing with a doubt, six wrong without a word, 18 unknown. Four years of printing were put right afterwards.

`drawn_200_third.csv` is of the same day: 32 further books of 1588 to 1917. Seeded chance chose places with a measure beside others in
30 of them and the name at or just beside the place was noted, once each; the names of two German books come from single pages. 200
of 231 were drawn. The keys were written from the list of ids and from what the rows say of themselves. Six names have no row.
Found at first sight: 178 right, ten with a doubt, four wrong without a word, eight unknown. Nineteen capitals and one key (ground flint
had been keyed as the light silica of today) were put right afterwards: 179, ten, three, eight. Three of the six names without a row
were given one later the same day (one of them, ammonium tartrate, because this list showed it under another salt) and are keyed since.

`drawn_200_fourth.csv` is of the same day: 40 further books of 1596 to 1922. Seeded chance chose places with a measure beside
others and the name at or just beside the place was noted as printed, once each; of 379 names cut so, 200 were drawn within their
time: 50 from before 1720, 40 of 1720 to 1800, 81 of 1801 to 1886, 29 of 1890 to 1922. One book of the teeth names a single
measured thing; the names of one German lexicon and of one American cyclopaedia come from single pages; a name that was drawn
twice but for a capital gave way to one of the French names. The keys were written from the list of ids and from what the rows say
of themselves, before the look-up saw a name. Fourteen names were keyed without a row. Found at first sight: 167 right, 17 with a
doubt, eight wrong without a word, eight unknown. One key was put right afterwards (barley water stands among the gruels): 168,
17, seven, eight.

`drawn_200_fifth.csv` is of the same day: 82 further books of 1592 to 1923. Seeded chance chose places with a measure beside others
and the name at or just beside the place was noted as printed, once each, a place with no ingredient or with two to choose from
passed over; of 298 names cut so, 200 were drawn, 50 of each time: before 1720, 1720 to 1800, 1801 to 1869, 1870 to 1923. No book
gave more than six; 24 names are German or French. For fifteen books only extracts of their pages were to be had, and chance chose
among the measures of those. The keys were written from the list of ids and from what the rows say of themselves, and committed
before the look-up saw a name. Eight names were keyed without a row; nine have two rows or three that would be right. Found at first
sight: 177 right, six with a doubt, two wrong without a word, 15 unknown (six of them keyed without a row). Later the same day the
first three draws were opened, mended on and re-keyed where a row was new or divided; seven keys of the fourth and the fifth follow such
rows too, and nothing else was done on them.

The fourth and the fifth were opened at noon of 30 November: what they missed was sorted into classes and mended with other texts at
hand, rows included, and fifteen keys follow rows that are new or were overlooked (mithridate and the cold spice powder of pearls had
one when the draw was keyed). Both are guards since.

`drawn_200_sixth.csv` is of the same day: 78 further books and parts of periodicals of 1587 to 1922 that are none of the glossary's
sources. Seeded chance chose places with a measure beside others (in books with few such places, any measure) and the name at
or just beside the place was noted as printed, once each, a place with no ingredient passed over; a place whose name stood in the list
already gave the name next to it. Of 207 names cut so, 200 were drawn: 42 from before 1700, 32 of English books of 1721 to 1799, 94 of
English books of 1814 to 1922, 26 German and six French ones of 1786 to 1922. No book gave more than four. Thirteen are other volumes
or issues of periodicals met before: eight of Dingler's, two of the Scientific American, two of its Supplement, one of Godey's. What
each name is was written and committed before its row was sought by id and name in the table of ingredients. Six names were keyed
without a row; eleven have two rows that would be right. Found at first sight: 181 right, ten with a doubt, three wrong without a
word, six unknown. Then it was opened, what it missed was sorted into classes and mended, and seven keys follow rows that are new (the
six without a row, and beef suet, which was divided from that of sheep): a guard since, like one key each of the first, fourth and
fifth and two of the second, which name beef suet as well.

`drawn_200_seventh.csv` is of the afternoon of that day: 64 further books of 1603 to 1922, 40 names of before 1700, 30 of 1700 to 1800,
100 of 1800 to 1922, 25 German and five French, at most four of a book. Seeded chance chose places with a measure beside others; where
the name there stood in the list already, the one next to it was taken by eye. What each name is was written before any table was opened;
seven names were keyed without a row. Found at first sight: 182 right, four with a doubt, four wrong without a word (three of these names
were keyed without a row, and the look-up had a nearer one), ten unknown. Then it was opened and mended by class; seven keys follow rows
that are new or were overlooked: a guard since.

`drawn_200_eighth.csv` is of the evening of that day, keyed when all that the seventh taught was in: 60 further books of 1624 to 1921, 32
names of before 1700, 35 of 1700 to 1799, 110 English ones of 1800 to 1922, 23 German, at most four of a book. Seeded chance chose the
places; what each name is was written before any table was opened; one key was found in the table of names, three names were keyed
without a row. Found at first sight: 175 right, twelve with a doubt, six wrong without a word (one keyed without a row), seven unknown.
The next session opened it and mended it by class: a guard since.

`drawn_200_ninth.csv` is of the night of that day, keyed when nothing of the mends of that session was known to the hand: 79 further books
of 1594 to 1922, 40 names of before 1700, 30 of 1700 to 1800, 100 English ones of 1800 to 1922, 25 German and five French, at most four of
a book. Seeded chance chose the places. For 148 names what each is was written before any table was opened; 52 took the place of names
whose books proved to be in earlier draws, and of these the meaning was written before their own rows were sought. Four names were keyed
without a row. Found at first sight, when the mends on some 1,600 other names were in: 178 right, five with a doubt, five wrong without a
word, twelve unknown (three keyed without a row). Then it was opened and mended by class: a guard since.

`drawn_200_tenth.csv` is of that evening: 79 further books, 45 names of English before 1700, 35 of 1700 to 1800, 90 of 1800 to 1923 (many of
kitchens), 25 of nine volumes of Dingler, five French. Drawn as the others; 198 meanings were written before the ids were sought, two
names and their meanings after. Six names were keyed without a row. Found at first sight, when some 3,100 names more were in: 176 right
(178 with Parmesan and creolin, whose rows came that day), six with a doubt, eight wrong without a word, ten unknown. Then it was opened: a
guard since, with its key as it was.

`drawn_200_eleventh.csv` is of 1 December: 63 further books of 1579 to 1923, 57 names of before 1780, 120 English ones after, 22 of
Dingler and one French. Seeded chance chose places with measures, an eye at most four names a book; what each is was written before any
table was opened, but for the four names that took the place of a book of an earlier draw. Four were keyed without a row; two books
(six names) were read by the hand that added names, too. Found at first sight, when some 1,200 names more were in: 173 right, ten with a
doubt, six wrong without a word, eleven unknown. Then it was opened: a guard since.

Run as a program, the module prints the table of all: python tests/glossary/test_drawn_names.py
"""

import csv
from collections import Counter
from pathlib import Path

import pytest

import histkit as hk

ROOM = Path(__file__).parent
DRAWS = ("", "_second", "_third", "_fourth", "_fifth", "_sixth", "_seventh", "_eighth", "_ninth", "_tenth", "_eleventh")
PATHS = tuple(ROOM / f"drawn_200{draw}.csv" for draw in DRAWS)
FIRST, SECOND, THIRD, FOURTH, FIFTH, SIXTH, SEVENTH, EIGHTH, NINTH, TENTH, ELEVENTH = PATHS
SHARED = {"_tenth": 3}
"""Books of a draw that stand in an earlier one too, which was seen afterwards."""
KINDS = ("right", "doubted", "wrong", "unknown")
GERMAN = ("Schiller", "Oetker", "Buchheister", "Hufeland", "Stegmann", "Damen Conversations")
GERMAN += ("Handbuch für Frauenzimmer", "Gleim", "Dingler", "Ausgezeichnete Pomade", "Hahnemann", "Seibold", "Herzberg", "Fresenius")


def drawn(path: Path) -> list[dict[str, str]]:
    """The rows of one draw."""
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def verdict(row: dict[str, str]) -> str:
    """right, doubted, wrong or unknown: the name as the first line of a formula of its year."""
    german = any(author in row["book"] for author in GERMAN)
    source = hk.Source(title=row["book"], year=int(row["year"]), country="DE" if german else "GB")
    text = "{}, 2 Loth\nZucker, 4 Loth" if german else "{}, 2 ounces\nsugar, 4 ounces"
    line = hk.translate(hk.read(text.format(row["printed"]), source=source)).lines[0]
    if line.ingredient is None:
        return "unknown"
    if line.ingredient.id in row["ingredients"].split(";"):
        return "right"
    return "doubted" if any(doubt.about == "ingredient" for doubt in line.doubts) else "wrong"


def told(rows: list[dict[str, str]]) -> dict[str, list[str]]:
    """The printed names, by what the look-up made of them."""
    names: dict[str, list[str]] = {kind: [] for kind in KINDS}
    for row in rows:
        names[verdict(row)].append(row["printed"])
    return names


@pytest.mark.parametrize(
    ("path", "books", "right", "wrong", "unknown"),
    [
        (FIRST, 30, 193, 1, 3),
        (SECOND, 25, 197, 1, 2),
        (THIRD, 30, 198, 1, 2),
        (FOURTH, 40, 194, 3, 1),
        (FIFTH, 80, 194, 1, 3),
        (SIXTH, 78, 195, 2, 1),
        (SEVENTH, 60, 195, 1, 3),
        (EIGHTH, 55, 185, 6, 4),
        (NINTH, 75, 186, 6, 6),
        (TENTH, 75, 183, 5, 8),
        (ELEVENTH, 60, 183, 4, 4),
    ],
)
def test_most_names_of_books_never_met_are_known_and_hardly_one_is_wrong(
    path: Path, books: int, right: int, wrong: int, unknown: int
) -> None:
    rows = drawn(path)
    assert len(rows) == 200 and len({row["printed"] for row in rows}) == 200
    assert len({row["book"] for row in rows}) >= books
    assert all(row["is"] and row["who_says"] for row in rows)
    names = told(rows)
    counts = Counter({kind: len(found) for kind, found in names.items()})
    assert counts["right"] >= right, counts
    assert counts["wrong"] <= wrong, names["wrong"]
    assert counts["unknown"] <= unknown, names["unknown"]


@pytest.mark.parametrize("number", range(1, len(PATHS)), ids=DRAWS[1:])
def test_each_draw_is_of_other_books(number: int) -> None:
    earlier = {row["book"] for path in PATHS[:number] for row in drawn(path)}
    assert len({row["book"] for row in drawn(PATHS[number])} & earlier) <= SHARED.get(DRAWS[number], 0)


def main() -> None:
    """Print, for each draw, how many names are right, doubted, wrong in silence and unknown."""
    for path in PATHS:
        names = told(drawn(path))
        print(path.name, *(f"{kind} {len(names[kind])}" for kind in KINDS), sep="\t")


if __name__ == "__main__":
    main()
