"""Books that nobody wrote: invented prose with formulas in it, and where each formula stands. Seeded, so that a book can be had
again from its number.

The prose lies in tests/books/prose_*.txt and was written before the finder and without looking at its tables: one bank to work
with, one held back for the figure that counts. Amounts and the company that ingredients keep are invented; the names are the
trade's, each in the languages in which a formula is printed.
"""

from __future__ import annotations

import random
import re
from dataclasses import dataclass, field
from pathlib import Path

HERE = Path(__file__).parent / "books"

# English, Latin genitive, French, German; "" where a formula in that language would not have it
NAMES = [
    ("Prepared chalk", "Cretæ præparatæ", "Craie préparée", "Schlämmkreide"),
    ("Powdered orris root", "Pulv. rad. iridis", "Poudre d'iris", "Veilchenwurzelpulver"),
    ("Wheat starch", "Amyli", "Amidon de blé", "Weizenstärke"),
    ("Rice starch", "Amyli oryzæ", "Amidon de riz", "Reisstärke"),
    ("French chalk", "Talci", "Talc", "Talk"),
    ("Oxide of zinc", "Zinci oxidi", "Oxyde de zinc", "Zinkoxyd"),
    ("Subnitrate of bismuth", "Bismuthi subnitratis", "Sous-nitrate de bismuth", "Basisches Wismutnitrat"),
    ("Carmine", "Carmini", "Carmin", "Karmin"),
    ("White lead", "Plumbi carbonatis", "Céruse", "Bleiweiss"),
    ("Carbonate of magnesia", "Magnesii carbonatis", "Carbonate de magnésie", "Kohlensaure Magnesia"),
    ("Cuttle-fish bone", "Ossis sepiæ", "Os de seiche", "Sepiaschale"),
    ("Powdered myrrh", "Pulv. myrrhæ", "Myrrhe pulvérisée", "Gepulverte Myrrhe"),
    ("Borax", "Sodii boratis", "Borax", "Borax"),
    ("Camphor", "Camphoræ", "Camphre", "Kampfer"),
    ("White wax", "Ceræ albæ", "Cire blanche", "Weisses Wachs"),
    ("Spermaceti", "Cetacei", "Blanc de baleine", "Walrat"),
    ("Oil of sweet almonds", "Olei amygdalæ dulcis", "Huile d'amandes douces", "Mandelöl"),
    ("Lard", "Adipis", "Axonge", "Schweinefett"),
    ("Lanolin", "Adipis lanæ", "Lanoline", "Lanolin"),
    ("Glycerine", "Glycerini", "Glycérine", "Glycerin"),
    ("Rose water", "Aquæ rosæ", "Eau de rose", "Rosenwasser"),
    ("Orange-flower water", "Aquæ aurantii florum", "Eau de fleurs d'oranger", "Orangenblütenwasser"),
    ("Distilled water", "Aquæ destillatæ", "Eau distillée", "Destilliertes Wasser"),
    ("Rectified spirit", "Spiritus rectificati", "Alcool", "Weingeist"),
    ("Tincture of benzoin", "Tincturæ benzoini", "Teinture de benjoin", "Benzoetinktur"),
    ("Tincture of musk", "Tincturæ moschi", "Teinture de musc", "Moschustinktur"),
    ("Oil of bergamot", "Olei bergamottæ", "Essence de bergamote", "Bergamottöl"),
    ("Oil of lavender", "Olei lavandulæ", "Essence de lavande", "Lavendelöl"),
    ("Oil of cloves", "Olei caryophylli", "Essence de girofle", "Nelkenöl"),
    ("Otto of rose", "Olei rosæ", "Essence de rose", "Rosenöl"),
    ("Oil of lemon", "Olei limonis", "Essence de citron", "Citronenöl"),
    ("Oil of neroli", "Olei neroli", "Essence de néroli", "Neroliöl"),
    ("Gum arabic", "Acaciæ", "Gomme arabique", "Gummi arabicum"),
    ("Alum", "Aluminis", "Alun", "Alaun"),
    ("Powdered sugar", "Sacchari", "Sucre en poudre", "Zuckerpulver"),
    ("Salicylic acid", "Acidi salicylici", "Acide salicylique", "Salicylsäure"),
    ("Calomel", "Hydrargyri chloridi mitis", "Calomel", "Kalomel"),
    ("Castor oil", "Olei ricini", "Huile de ricin", "Ricinusöl"),
]  # fmt: skip

TITLES = [
    ["Violet Powder", "Pearl White", "Complexion Powder", "Nursery Powder", "Tooth Powder with Myrrh", "Cold Cream", "Lip Salve", "Almond Paste", "Hair Wash", "Lavender Water", "Toilet Vinegar", "Rouge for the Evening", "Sachet Powder", "Pomade for Winter", "Rose Lotion", "Mouth Wash", "Camphor Ice", "A White for the Face", "The Countess's Dentifrice", "Cosmetic Milk"],
    ["Pulvis dentifricius", "Unguentum refrigerans", "Pulvis cosmeticus", "Lotio rosata", "Ceratum labiale", "Pulvis infantium"],
    ["Poudre de riz", "Poudre dentifrice", "Crème froide", "Eau de toilette", "Pommade pour les lèvres", "Lait virginal"],
    ["Zahnpulver", "Gesichtspuder", "Kühlsalbe", "Haarwasser", "Lippenpomade", "Streupulver"],
]  # fmt: skip

DIRECTIONS = [
    ["Mix, and pass through a fine sieve.", "Melt the fats over a slow fire, and when they begin to set stir in the rest, a little at a time, until the whole is cold.", "Rub all together and keep in a stoppered bottle.", "Let it stand eight days, then strain through linen. It ought to be clear as glass.", "To be sifted three times. It improves with keeping.", "Dissolve the solid parts first. Should it turn cloudy, filter it through paper, and shake before use.", ""],
    ["Misce. Fiat pulvis.", "M. ft. unguentum.", "Misce bene.", ""],
    ["Mêlez et passez au tamis de soie.", "Faites fondre au bain-marie et remuez jusqu'au refroidissement.", ""],
    ["Man mischt und schlägt durch ein feines Sieb.", "Mischen.", ""],
]  # fmt: skip

UNITS = [
    [("oz.", 16), ("ounces", 12), ("lb.", 6), ("lbs.", 12), ("drachms", 8), ("drms.", 6), ("grains", 60), ("drops", 30), ("pint", 1), ("fl. oz.", 8)],
    [],
    [("grammes", 500), ("gr.", 250), ("gouttes", 20), ("grammes", 60)],
    [("g", 500), ("Gramm", 250), ("Tropfen", 20), ("Theile", 100)],
]  # fmt: skip
FRACTIONS = ["1/2", "½", "1/4", "¼", "¾", "1½", "2½", "1-1/2", "2 1/2"]
WORDS = ["one", "two", "three", "four", "six", "eight", "half an", "a quarter of an", "one and a half", "ten", "twelve", "five"]
ROMAN = ["j", "ij", "iij", "iv", "vj", "viij", "ss", "jss", "x"]
A_LINE_EACH = {
    "columns": lambda name, amount: f"{name:<34}{amount:>12}",
    "comma": lambda name, amount: f"{name}, {amount}",
    "amount first": lambda name, amount: f"{amount} of {name[0].lower()}{name[1:]}.",
    "amount first columns": lambda name, amount: f"{amount:<12}{name}",
    "narrow": lambda name, amount: f"{name} {amount}",
    "page table": lambda name, amount: f"{name:<32}|{amount:>12} |",
}
"""Notations with one line for each ingredient."""
RUN_IN = {
    "recipe run-in": ("℞ ", ", ", lambda name, amount: f"{name} {amount}"),
    "semicolons": ("", "; ", lambda name, amount: f"{amount} {name.lower()}"),
    "prenez": ("Prenez : ", ", ", lambda name, amount: f"{name.lower()}, {amount}"),
    "nimm": ("Man nehme ", ", ", lambda name, amount: f"{amount} {name}"),
}
"""Notations in running lines: how they begin, what stands between two ingredients, one ingredient."""


@dataclass
class Printed:
    """Printed lines that belong together; `of` numbers the formula that they belong to, `part` is title, block, directions."""

    lines: list[str]
    of: int | None = None
    part: str = ""


@dataclass(frozen=True)
class Truth:
    """Where a formula stands: lines of the book counted from 1, from its title (or first ingredient) to its last direction."""

    title: str
    first_line: int
    last_line: int
    block: tuple[int, int]
    page: int | None
    ingredients: int
    notation: str


@dataclass(frozen=True)
class InventedBook:
    text: str
    formulas: tuple[Truth, ...]
    language: int = 0


@dataclass
class Maker:
    """Makes one book. `held_back` takes the prose, the tables and the notations that the finder was not developed on."""

    seed: int
    held_back: bool = False
    chance: random.Random = field(init=False)

    def __post_init__(self) -> None:
        self.chance = random.Random(f"{self.seed} {self.held_back}")
        name = "prose_held_back.txt" if self.held_back else "prose_tuning.txt"
        self.prose = (HERE / name).read_text(encoding="utf-8").strip().split("\n\n")
        self.width = self.chance.choice([58, 64, 70, 76])
        self.indent = self.chance.choice([0, 0, 2, 4])
        self.titles = self.chance.choice(["caps", "caps.", "plain", "plain.", "numbered", "italic", "centred", "run-in"])
        self.pages = self.chance.choice(["none", "bracketed", "running", "form feed", "bare"])
        self.damage = self.chance.choice([0.0, 0.0, 0.03, 0.08])

    # -- prose

    def _filled(self, text: str) -> str:
        c = self.chance
        makers = {
            "time": lambda: c.choice(["7 o'clock", "half past nine", "8.15", "six in the evening", "noon"]),
            "price": lambda: c.choice(["4s. 6d.", "two shillings", "$1.25", "18 cents", "3 francs", "£2 10s.", "five guineas", "9d."]),
            "address": lambda: c.choice(["14, Pelter's Row", "the Haymarch", "27 Upper Quill Street", "Ondine Place, No. 3"]),
            "year": lambda: str(c.randrange(1780, 1915)),
            "count": lambda: c.choice(["three", "seven", "14", "nineteen", "40", "two hundred", "112", "six"]),
            "Count": lambda: c.choice(["Three", "Seven", "Fourteen", "Twenty"]),
            "degrees": lambda: str(c.choice([90, 104, 120, 150])),
            "day": lambda: c.choice(["1st", "3d", "14th", "21st"]),
        }  # fmt: skip
        return re.sub(r"\{(\w+)\}", lambda found: makers[found.group(1)](), text)

    def wrapped(self, text: str, indent: str = "") -> list[str]:
        """Set to the width of the book, now and then with a word divided at the end of a line."""
        lines, line = [], indent
        for word in text.split():
            if len(line) + len(word) + 1 <= self.width or not line.strip():
                line = f"{line} {word}" if line.strip() else line + word
                continue
            room = self.width - len(line) - 2
            if word.isalpha() and len(word) > 7 and 3 <= room < len(word) - 2 and self.chance.random() < 0.5:
                lines.append(f"{line} {word[:room]}-")
                line = word[room:]
            else:
                lines.append(line)
                line = word
        return [*lines, line]

    def paragraph(self) -> Printed:
        return Printed([*self.wrapped(self._filled(self.chance.choice(self.prose)), " " * self.indent), ""])

    def contents(self) -> Printed:
        page, lines = 1, ["CONTENTS", ""]
        for title in self.chance.sample(TITLES[0] + TITLES[2], 10):
            page += self.chance.randrange(1, 9)
            dots = self.chance.choice([".", " "])
            lines.append(f"{title} {dots * (40 - len(title))} {page}")
        return Printed([*lines, ""])

    def index(self) -> Printed:
        entries = []
        for english, *_ in self.chance.sample(NAMES, 12):
            pages = sorted(self.chance.sample(range(5, 300), self.chance.randrange(1, 4)))
            entries.append(f"{english}, {', '.join(map(str, pages))}")
        return Printed(["INDEX.", "", *sorted(entries), ""])

    def prices(self) -> Printed:
        c = self.chance
        head = c.choice(["Prices Current at the Harbour", "TARIFF", "Sold by the Author:"])
        lines = [head, ""]
        for english, *_ in c.sample(NAMES, 6):
            per = c.choice([", per lb.", ", the ounce", " per cwt.", ""])
            lines.append(f"{english + per:<38} {c.randrange(1, 20)}s. {c.randrange(1, 12)}d.")
        return Printed([*lines, ""])

    def accounts(self) -> Printed:
        c = self.chance
        lines = [c.choice(["Trains on Week-days", "The Year's Accounts", "RAIN AT THE OBSERVATORY"]), ""]
        for name in c.sample(["Marrowby", "Upper Quill", "Ondine", "Paid to the carter", "Candles", "Given to the poor", "January", "March"], 5):
            lines.append(f"{name:<24}{c.randrange(1, 12)}.{c.randrange(10, 59)}   {c.randrange(1, 12)}.{c.randrange(10, 59)}")
        return Printed([*lines, ""])

    def other_table(self) -> Printed:
        """Held back: weights of things that are no ingredients, a list of subscribers, dimensions, verse."""
        c = self.chance
        kind = c.randrange(4)
        if kind == 0:
            lines = ["WEIGHT OF THE BAGGAGE", ""]
            lines += [f"{n:<30}{c.randrange(2, 90)} lbs." for n in ("The tent", "Two saddles", "A writing desk", "Boots and clothing", "Books")]
        elif kind == 1:
            lines = [f"{n} . . . . . . {c.randrange(1, 6)} copies" for n in ("Miss Ottery", "The Rev. Mr. Pask", "Dr. Yellow", "A Friend", "Lady W.")]
        elif kind == 2:
            lines = ["Of the cabinet:", ""]
            lines += [f"{n}, {c.randrange(2, 6)} feet {c.randrange(1, 11)} inches;" for n in ("Height", "Breadth at the foot", "Depth", "Breadth of the door")]
        else:
            lines = ["   She bought her roses by the ounce,", "     Her lilies by the pound;", "   And half a pint of morning dew", "     She gathered from the ground."]
        return Printed([*lines, ""])

    def heading(self) -> Printed:
        number = self.chance.choice(["CHAPTER IV.", "CHAPTER XII", "§ 7.", "PART THE SECOND."])
        return Printed([number, "", self.chance.choice(["OF THE HAIR.", "ON THE USES OF WATER", "WHAT THE MERCHANT KNEW", "Of Shops and their Keepers"]), ""])

    # -- formulas

    def amount(self, language: int) -> str:
        c = self.chance
        if language == 1:
            sign = c.choice(["ʒ", "℥", "℈", "gr. "])
            return sign + c.choice(ROMAN)
        unit, most = c.choice(UNITS[language])
        if language == 0 and c.random() < 0.35 and unit not in ("grains", "drops"):
            return f"{c.choice(FRACTIONS)} {unit}"
        return f"{c.randrange(1, most + 1)} {unit}"

    def in_words(self) -> str:
        c = self.chance
        word = c.choice(WORDS)
        unit = c.choice(["ounce", "drachm", "ounce"]) if word.endswith((" an", "one")) else c.choice(["ounces", "drachms", "pounds"])
        return f"{word.removesuffix(' an')} a drachm" if word == "half an" and unit == "drachm" else f"{word.replace(' an', ' a') if unit == 'drachm' else word} {unit}"

    def formula(self, number: int, language: int) -> tuple[list[Printed], str, int, str]:
        c = self.chance
        names = [n[language] for n in c.sample(NAMES, c.randrange(3, 9))]
        notations = {0: ["columns", "comma", "leaders", "amount first", "amount first columns", "run-in", "take", "parts", "ditto", "brace", "words first"], 1: ["recipe", "recipe leaders"], 2: ["columns", "leaders", "comma", "run-in"], 3: ["columns", "leaders", "amount first columns"]}[language]
        if self.held_back:
            notations = [*notations, *{0: ["narrow", "semicolons", "narrative", "page table", "wrapped"], 1: ["recipe run-in"], 2: ["prenez"], 3: ["nimm"]}[language]]
        notation = c.choice(notations)
        block = [self.damaged(line) for line in self.block(notation, names, language)]
        title = c.choice(TITLES[language])
        directions = c.choice(DIRECTIONS[language])
        printed: list[Printed] = []
        shown, head = self.title(title, number)
        if self.titles == "run-in" and notation in ("run-in", "take", "semicolons", "narrative", "prenez", "recipe run-in"):
            block = self.wrapped(f"{title.upper()}.—{' '.join(block)} {directions}".strip(), " " * self.indent)
            return [Printed(block, number, "block"), Printed([""])], title, len(names), notation
        if c.random() < 0.93:
            printed.append(Printed([*head, *([""] if c.random() < 0.7 else [])], number, "title"))
        else:
            shown = ""
        if notation in ("run-in", "take", "semicolons", "narrative", "prenez", "recipe run-in", "nimm") and directions and c.random() < 0.7:
            block = self.wrapped(f"{' '.join(block)} {directions}", " " * self.indent)
            directions = ""
        printed.append(Printed(block, number, "block"))
        if directions:
            gap = [""] if c.random() < 0.5 else []
            printed.append(Printed([*gap, *self.wrapped(directions, " " * self.indent)], number, "directions"))
        printed.append(Printed([""]))
        return printed, shown, len(names), notation

    def title(self, title: str, number: int) -> tuple[str, list[str]]:
        style = self.titles
        if style in ("caps", "caps.", "run-in"):
            return title, [title.upper() + ("." if style == "caps." else "")]
        if style == "plain":
            return title, [title]
        if style == "plain.":
            return title, [title + "."]
        if style == "numbered":
            return title, [f"{number + 1}. {title}."]
        if style == "italic":
            return title, [f"_{title}._"]
        return title, [title.center(self.width).rstrip()]

    def damaged(self, line: str) -> str:
        swaps = {"1": "l", "ʒ": "3", "½": "J", "i": "í", "c": "e", "0": "O", ".": ","}
        return "".join(swaps[x] if x in swaps and self.chance.random() < self.damage else x for x in line)

    def block(self, notation: str, names: list[str], language: int) -> list[str]:
        c = self.chance
        pad = " " * self.indent
        amounts = [self.amount(language) for _ in names]
        pairs = list(zip(names, amounts, strict=True))
        if notation in A_LINE_EACH:
            return [pad + A_LINE_EACH[notation](n, a) for n, a in pairs]
        if notation in RUN_IN:
            begin, between, one = RUN_IN[notation]
            return self.wrapped(begin + between.join(one(n, a) for n, a in pairs) + ".", pad)
        if notation == "leaders":
            dots = c.choice([".", " .", ". "])
            return [f"{pad}{n} {dots * (20 if len(dots) > 1 else 44 - len(n))} {a}" for n, a in pairs]
        if notation == "words first":
            return [f"{pad}{self.in_words().capitalize()} of {n.lower()}." for n in names]
        if notation == "run-in":
            return self.wrapped("; ".join(f"{n if i == 0 else n[0].lower() + n[1:]}, {a}" for i, (n, a) in enumerate(pairs)) + ".", pad)
        if notation == "take":
            listed = ", ".join(f"{n.lower()} {self.in_words()}" for n in names[:-1])
            return self.wrapped(f"Take of {listed}, and of {names[-1].lower()} {self.in_words()}.", pad)
        if notation == "parts":
            head = [f"{pad}{'Parts.':>44}"] if c.random() < 0.5 else []
            tail = "" if head else " parts"
            return head + [f"{pad}{n:<34}{c.choice([5, 10, 15, 20, 25, 30, 40, 50, 100]):>8}{tail}" for n in names]
        if notation == "ditto":
            oils = [f'{pad}"  {n},' for n in c.sample(["bergamot", "lavender", "cloves", "lemon", "neroli"], 2)]
            return [f"{pad}{n + ',':<30}{a:>12}" for n, a in pairs] + [f"{pad}{'Otto of rose,':<30}{'2 drachms.':>12}", *(f'{o:<30}{c.randrange(1, 9):>6}  "' for o in oils)]
        if notation == "brace":
            return [f"{pad}{n + ',':<30}{a:>14}" for n, a in pairs[:-2]] + [f"{pad}{names[-2] + ',':<30}}}", f"{pad}{names[-1] + ',':<30}}} of each {amounts[-1]}"]
        if notation == "recipe":
            return [f"{pad}{'℞' if i == 0 else ' '} {n:<34}{a}" for i, (n, a) in enumerate(pairs)]
        if notation == "recipe leaders":
            return [f"{pad}{'℞' if i == 0 else ' '} {n}, {'.' * (40 - len(n))} {a}." for i, (n, a) in enumerate(pairs)]
        if notation == "narrative":
            first, second, *rest = names
            more = "".join(f" Then add {self.in_words()} of {n.lower()}." for n in rest)
            return self.wrapped(f"Beat {self.in_words()} of {first.lower()} with {self.in_words()} of {second.lower()}.{more}", pad)
        assert notation == "wrapped", notation
        return [line for n, a in pairs for line in (f"{pad}{n}, as fresh as it can be had and of the", f"{pad}    best sort only{'':<16}{a}")]

    # -- the book

    def book(self, formulas: int = 25, prose: int = 3) -> InventedBook:
        c = self.chance
        language = c.choice([0, 0, 0, 0, 1, 2, 3])
        pieces: list[Printed] = [self.heading(), self.contents(), self.paragraph()]
        known: dict[int, tuple[str, int, str]] = {}
        for number in range(formulas):
            for _ in range(c.randrange(0, 2 * prose + 1)):
                pieces.append(self.paragraph())
            if c.random() < 0.12:
                pieces.append(c.choice([self.prices, self.accounts, self.index, self.heading, *([self.other_table] * 3 if self.held_back else [])])())
            # Latin stands beside the language of the book; a table of Latin names alone would be no toilet book
            printed, title, count, notation = self.formula(number, language if language != 1 or c.random() < 0.7 else 0)
            known[number] = (title, count, notation)
            pieces += printed
        pieces += [self.paragraph(), self.index()]
        return self._paged(pieces, known, language)

    def _paged(self, pieces: list[Printed], known: dict[int, tuple[str, int, str]], language: int) -> InventedBook:
        c = self.chance
        head = c.choice(["THE TOILET TABLE", "Of Powders and Waters", "A LADY'S CLOSET", "NOTES FROM A STILL-ROOM"])
        lines: list[str] = []
        places: dict[int, dict[str, list[int]]] = {}
        pages: dict[int, int | None] = {}
        page, on_page, length = c.randrange(1, 60), 0, c.randrange(30, 46)

        def turn() -> None:
            nonlocal page, on_page
            page, on_page = page + 1, 0
            if self.pages == "bracketed":
                lines.extend(["", f"[Page {page}]", ""])
            elif self.pages == "running":
                lines.extend(["", f"{page}{head:^40}".rstrip() if page % 2 == 0 else f"{head:^40}{page:>6}", ""])
            elif self.pages == "form feed":
                lines.extend(["\f" + head, ""])
            elif self.pages == "bare":
                lines.extend(["", f"{page}".center(40).rstrip(), ""])

        started = page
        for piece in pieces:
            for line in piece.lines:
                if self.pages != "none" and on_page >= length:
                    turn()
                lines.append(line)
                on_page += 1
                if piece.of is not None and line.strip():
                    places.setdefault(piece.of, {}).setdefault(piece.part, []).append(len(lines))
                    pages.setdefault(piece.of, page)
        found = []
        for number, parts in sorted(places.items()):
            everything = [n for where in parts.values() for n in where]
            title, count, notation = known[number]
            at = pages[number]
            if self.pages == "none" or (at == started and self.pages != "form feed"):
                at = None  # before the first number printed nobody can know
            elif self.pages == "form feed" and at is not None:
                at = at - started + 1
            found.append(Truth(title, min(everything), max(everything), (min(parts["block"]), max(parts["block"])), at, count, notation))
        return InventedBook("\n".join(lines) + "\n", tuple(found), language)


def invented_book(seed: int, held_back: bool = False, formulas: int = 25, prose: int = 3) -> InventedBook:
    """The book of that number."""
    return Maker(seed, held_back).book(formulas, prose)
