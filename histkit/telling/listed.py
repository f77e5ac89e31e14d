"""An ingredient list without amounts, as a tin or a label prints it: what is in it, and what its order says of how much.

A label of today names what is above 1 % by falling weight, what is below in any order after it, and colours anywhere at the end.
An old tin names what it pleases: its order says nothing, and `ordered=False` says so.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from dataclasses import asdict, dataclass
from functools import cache

from histkit import glossary
from histkit.base.bibliography import cited, sourced
from histkit.base.errors import BadValue, quoted
from histkit.base.grid import Column, Grid
from histkit.base.text import Cell
from histkit.bench.label import label_rules
from histkit.display.tabular import Tabular
from histkit.glossary.nouns import Ingredient
from histkit.safety.evidence import unidentified

LONGEST = 20_000
"""Characters of a list; more is no label."""
_PARTS = re.compile(r"[,;\n•·●|]+(?![^()]*\))")
"""What parts the names of a list, outside of brackets."""
_BRACKETS = re.compile(r"[\[(]([^\])]*)[\])]")


@dataclass(frozen=True, slots=True)
class ListedName(Tabular):
    """One name of a list: the printed words and what they may mean today, the likeliest first.

    `place` counts from 1; None where the order says nothing (colours at the end, what only may be in it, old tins).
    """

    printed: str
    candidates: tuple[Ingredient, ...]
    place: int | None
    perhaps: bool = False
    """Whether the label only says that it may be in it."""

    @property
    def ingredient(self) -> Ingredient:
        """The likeliest meaning, or a stand-in entry where nobody knows it."""
        return self.candidates[0]

    def _grid(self) -> Grid:
        return IngredientList("", (self,))._grid()


@dataclass(frozen=True, slots=True)
class IngredientList(Tabular):
    """A list without amounts. `one_percent_from` is the place from which on all is below 1 %, where somebody knows it."""

    name: str
    entries: tuple[ListedName, ...]
    ordered: bool = True
    one_percent_from: int | None = None

    @property
    def in_order(self) -> tuple[ListedName, ...]:
        """The names whose place means something."""
        return tuple(entry for entry in self.entries if entry.place is not None)

    def bounds(self, entry: ListedName) -> tuple[float, float]:
        """(least, most) share of the mass (0–1) that the order of the list leaves to a name.

        Those before the 1 % line stand by falling weight, so the one at place n is at most 1/n, and the first at least the
        average. Where the line is known, what is before it is at least 1 % and what follows at most 1 %. Colours at the end may
        be of any amount; what 'may be in it' may be absent.
        """
        place, count = entry.place, len(self.in_order)
        if place is None:
            return (0.0, 1.0)
        any_order = float(label_rules()["any-order-below"]["value"])
        free = len([e for e in self.entries if e.place is None])
        if self.one_percent_from is None:
            sure = place == 1 and not free and count * any_order < 1
            return (1 / count if sure else 0.0, 1 / place)
        above = self.one_percent_from - 1
        if place > above:
            return (0.0, min(any_order, 1 / place))
        most = (1 - any_order * (above - place)) / place
        if place > 1 or free:
            return (any_order, most)
        return (max(any_order, (1 - any_order * (count - above)) / above), most)

    def place_words(self, entry: ListedName) -> str:
        """Where a name stands and what follows from it: '2nd of 7, at most 50 %'."""
        if entry.perhaps:
            return "may be in it"
        if entry.place is None:
            return "in it"
        low, high = self.bounds(entry)
        least = f"{_percent(low)} to " if low > 0 else "at most "
        return f"{ordinal(entry.place)} of {len(self.in_order)}, {least}{_percent(high)} %"

    def notes(self) -> tuple[str, ...]:
        """What the order of this list says, and what it does not."""
        unknown = [e.printed for e in self.entries if e.candidates[0].id not in glossary.ingredients]
        out = [_order_words(self.ordered)]
        if unknown:
            out.append(f"Not in the glossary: {', '.join(unknown)}.")
        several = [f"{e.printed} ({', '.join(c.name for c in e.candidates)})" for e in self.entries if len(e.candidates) > 1]
        if several:
            out.append(f"One name on a label may be several old things: {'; '.join(several)}.")
        return tuple(out)

    def _grid(self) -> Grid:
        columns = (
            Column("printed", "On the label"),
            Column("ingredient", "Today"),
            Column("place", "Place"),
            Column("least", "At least, %", 1),
            Column("most", "At most, %", 1),
        )
        rows: list[tuple[Cell, ...]] = []
        for entry in self.entries:
            low, high = self.bounds(entry)
            place = "–" if entry.place is None else str(entry.place)
            rows.append((entry.printed, entry.ingredient.name, place, 100 * low, 100 * high))
        return Grid(columns, tuple(rows), self.name or "Ingredient list", self.notes())

    def to_json(self) -> str:
        """The list as JSON text: the printed words and what is known of their order. `from_json` looks the names up anew."""
        entries = [{"printed": e.printed, "perhaps": e.perhaps, "place": e.place} for e in self.entries]
        data = asdict(self) | {"entries": entries}
        return json.dumps(data, ensure_ascii=False, indent=1)

    @classmethod
    def from_json(cls, text: str) -> IngredientList:
        """The list that `to_json` wrote.

        Raises:
            BadValue: the text is none.
        """
        try:
            data = json.loads(text)
            entries = tuple(
                ListedName(str(e["printed"]), meanings(str(e["printed"])), _place(e["place"]), bool(e["perhaps"]))
                for e in data["entries"]
            )
            return cls(str(data["name"]), entries, bool(data["ordered"]), _place(data["one_percent_from"]))
        except (json.JSONDecodeError, KeyError, TypeError, ValueError) as error:
            raise BadValue(f"this is not an ingredient list that histkit wrote: {error}") from error


def ingredient_list(text: str, name: str = "", ordered: bool = True, one_percent_from: str | int | None = None) -> IngredientList:
    """The names of a printed list, told apart and looked up; a heading ('Ingredients:') is left out.

    `ordered` False says that its order means nothing, as on tins from before the law of labels. `one_percent_from` is the name
    (or the place, from 1) from which on all is below 1 %, where the maker knows it. The same name twice counts once.

    Raises:
        BadValue: the text holds no name or is no list, or `one_percent_from` stands at no place of it.
    """
    if len(text) > LONGEST:
        raise BadValue(f"an ingredient list has at most {LONGEST:,} characters, this one {len(text):,}: paste the list alone")
    entries: list[ListedName] = []
    place = 0
    for printed, perhaps in _names(text):
        if any(" ".join(e.printed.split()).casefold() == printed.casefold() for e in entries):
            continue
        found = meanings(printed)
        counts = ordered and not perhaps and not _colour(printed, found[0])
        place += counts
        entries.append(ListedName(printed, found, place if counts else None, perhaps))
    if not entries:
        raise BadValue("this list names nothing: give the names with commas between them, such as 'Talc, Zinc Oxide, Mica'")
    listed = _colours_in_line(tuple(entries)) if ordered else tuple(entries)
    return IngredientList(name, listed, ordered, _line_of(one_percent_from, listed))


def meanings(printed: str) -> tuple[Ingredient, ...]:
    """What a name on a label may mean, the likeliest first: by its label name, else by the names of the glossary.

    A name that nobody knows gives one stand-in entry.
    """
    inside = [words for words in _BRACKETS.findall(printed) if words.strip()]
    ways = dict.fromkeys((printed, _BRACKETS.sub(" ", printed), *inside))
    for words in ways:
        if keys := _by_label_name().get(glossary.fold(words)):
            exact = glossary.find(words)
            first = (exact.ingredient.id,) if exact is not None and exact.ingredient.id in keys else ()
            return tuple(map(glossary.ingredient, dict.fromkeys((*first, *keys))))
    best = [m for m in map(glossary.find, filter(str.strip, ways)) if m is not None]
    if best:
        chosen = max(best, key=lambda m: m.score)
        return (chosen.ingredient, *(a for a in chosen.alternatives if a != chosen.ingredient))
    return (unidentified(printed),)


@glossary.follows_the_tables
@cache
def _by_label_name() -> dict[str, tuple[str, ...]]:
    """Folded label names and the ids that have them, first those whose own name says the same."""
    found: dict[str, list[str]] = {}
    for row in glossary.rows("ingredients"):
        if not row["inci"]:
            continue
        for label_name in {row["inci"], _BRACKETS.sub(" ", row["inci"])}:
            ids = found.setdefault(glossary.fold(label_name), [])
            ids.insert(0 if glossary.fold(row["name"]) == glossary.fold(label_name) else len(ids), row["id"])
    return {name: tuple(dict.fromkeys(ids)) for name, ids in found.items()}


def _names(text: str) -> Iterator[tuple[str, bool]]:
    """(printed name, whether it only may be in it), without headings and full stops."""
    sure, _, may_be = _after(text, "perhaps")
    for words, perhaps in ((sure, False), (may_be, True)):
        before, head, rest = _after(words, "head")
        for piece in _PARTS.split(rest if head and (":" in head or not before.strip()) else words):
            name = " ".join(piece.split()).strip(" .:*-–—[]/")
            if any(letter.isalpha() for letter in name):
                yield name, perhaps


def _after(text: str, kind: str) -> tuple[str, str, str]:
    """The text parted at the first words of a kind: what is before, the words, what follows."""
    ways = "|".join(re.escape(row["words"]) for row in sourced("telling/list_words") if row["kind"] == kind)
    found = re.search(rf"(?<!\w)(?:{ways})(?!\w)[\s:.+/±\[\]()–—-]*", text, re.IGNORECASE)
    return (text[: found.start()], found.group(), text[found.end() :]) if found else (text, "", "")


def _colour(printed: str, entry: Ingredient) -> bool:
    """Whether a name is a colour's: by its number, or by what it does."""
    numbers = [row["words"] for row in sourced("telling/list_words") if row["kind"] == "colour number"]
    by_number = any(re.match(rf"{re.escape(start)}\s?\d", printed, re.IGNORECASE) for start in numbers)
    return by_number or any(role.main and role.role == "colour" for role in entry.roles)


def _colours_in_line(entries: tuple[ListedName, ...]) -> tuple[ListedName, ...]:
    """Colours that stand before another ingredient stand in line with it: only those at the end may stand in any order."""
    last = max((n for n, e in enumerate(entries) if e.place is not None), default=-1)
    out, place = [], 0
    for number, entry in enumerate(entries):
        counts = not entry.perhaps and number <= last
        place += counts
        out.append(ListedName(entry.printed, entry.candidates, place if counts else None, entry.perhaps))
    return tuple(out)


def _line_of(wanted: str | int | None, entries: tuple[ListedName, ...]) -> int | None:
    """The place from which on all is below 1 %, from a place or a printed name."""
    if wanted is None:
        return None
    for entry in entries:
        if entry.place is not None and (entry.place == wanted or entry.printed.casefold() == str(wanted).strip().casefold()):
            if entry.place == 1:
                break
            return entry.place
    raise BadValue(f"one_percent_from is a name or place of the list after its first, not {quoted(wanted)}")


def _place(value: object) -> int | None:
    if value is None or (isinstance(value, int) and not isinstance(value, bool) and value > 0):
        return value
    raise ValueError(f"a place is a whole number from 1, not {value!r}")


def _order_words(ordered: bool) -> str:
    if not ordered:
        return "This list says what is in it; its order says nothing of how much."
    source = cited(label_rules()["any-order-below"], mark=True)
    return (
        "A label names what is above 1 % by falling weight, the rest in any order after it, colours at the end: the second is at "
        f"most a half, the third at most a third. Source: {source}. It has its place in the table and none in "
        "distance and mean."
    )


def ordinal(number: int) -> str:
    """'1st', '2nd', '11th'."""
    ending = {1: "st", 2: "nd", 3: "rd"}.get(number % 10, "th") if number % 100 not in (11, 12, 13) else "th"
    return f"{number}{ending}"


def _percent(share: float) -> str:
    return f"{100 * share:.0f}" if share >= 0.1 else f"{100 * share:.2g}"
