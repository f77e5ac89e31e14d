"""An invented powder with everything that makes a table of old and new hard: shared by the tests of tables and pictures.

The book, its author and the powder are invented; the ingredients are real substances, their texts shortened for the test.
"""

from functools import cache

from histkit import measures
from histkit.base.nouns import Doubt, Source, Spread
from histkit.bench.batching import Batch, batch
from histkit.bench.weighing import Balance
from histkit.composing.composition import Composition
from histkit.glossary.nouns import Caution, Ingredient
from histkit.reading.formula import Formula, Line
from histkit.telling.comparing import compare
from histkit.telling.comparison import ComparisonTable
from histkit.translating.translation import TranslatedLine, Translation

POISON = Caution("forbidden", "A cumulative poison. Rules differ and change: ask a safety assessor.", "common-practice")

SOURCE = Source(
    "The Larkspur Closet (an invented book)", "Mrs. A. Larkspur (invented)", 1871, "GB", "trade receipt book", "London", "p. 43"
)


def made(
    key: str, name: str, inci: str = "", state: str = "powder", cautions: tuple[Caution, ...] = (), description: str = ""
) -> Ingredient:
    return Ingredient(key, name, inci=inci, state=state, cautions=cautions, description=description)


INGREDIENTS = {
    i.id: i
    for i in (
        made(
            "wheat-starch",
            "wheat starch",
            "Triticum Vulgare Starch",
            description="Starch of wheat grains, the body of old face powders.",
        ),
        made("talc", "talc", "Talc", description="A soft magnesium silicate mineral that gives slip."),
        made(
            "lead-carbonate",
            "lead carbonate (white lead)",
            cautions=(POISON,),
            description="Basic lead carbonate, an opaque white pigment.",
        ),
        made(
            "orris-root",
            "orris root",
            "Iris Florentina Root Powder",
            description="The dried rhizome of irises, smelling of violets.",
        ),
        made("calcium-carbonate-precipitated", "precipitated calcium carbonate", "Calcium Carbonate"),
        made("rose-otto", "rose otto", "Rosa Damascena Flower Oil", "liquid"),
        made("bergamot-oil", "bergamot oil", "Citrus Aurantium Bergamia Peel Oil", "liquid"),
        made("zinc-oxide", "zinc oxide", "Zinc Oxide"),
        made("titanium-dioxide", "titanium dioxide", "Titanium Dioxide"),
        made("magnesium-stearate", "magnesium stearate", "Magnesium Stearate"),
        made("jojoba-oil", "jojoba oil", "Simmondsia Chinensis Seed Oil", "liquid"),
        made("carmine", "carmine", "Carmine"),
    )
}

DROPS = "A drop has no fixed size: it varies with the liquid and the dropper."
STARCH = "The book may have meant potato starch, which it elsewhere calls by the same name."

LINES: tuple[tuple[str, str, str, tuple[float, float, float] | None, tuple[str, ...]], ...] = (
    ("Wheat starch, .................... 8 oz.", "Wheat starch", "wheat-starch", (226.8, 226.8, 248.83), (STARCH,)),
    ("French chalk,                     4 oz.", "French chalk", "talc", (113.4, 113.4, 113.4), ()),
    ("White lead, finely levigated,     2 oz.", "White lead, finely levigated", "lead-carbonate", (56.7, 56.7, 56.7), ()),
    ("Powdered orris-root,              1 oz.", "Powdered orris-root", "orris-root", (28.35, 28.35, 31.1), ()),
    (
        "Precipitated chalk,             1/2 oz.",
        "Precipitated chalk",
        "calcium-carbonate-precipitated",
        (14.17, 14.17, 14.17),
        (),
    ),
    ("Otto of rose,                   10 drops.", "Otto of rose", "rose-otto", (0.2, 0.3, 0.45), (DROPS,)),
    ('"  bergamot,                    20 drops.', "bergamot", "bergamot-oil", (0.4, 0.6, 0.9), (DROPS,)),
)


@cache
def translation(repeat: int = 1, extra: tuple[str, ...] = ()) -> Translation:
    """The invented powder translated. With `repeat` its lines stand several times; `extra` are more printed lines, unknown."""
    entries = [*LINES * repeat, *((text, text, "", (5.0, 5.0, 5.0), ()) for text in extra)]
    grams = [Spread(*e[3]) if e[3] else None for e in entries]
    total = sum(g.best for g in grams if g)
    lines, start = [], 0
    for (raw, name, key, _, doubts), weight in zip(entries, grams, strict=True):
        carried = "Otto of" if raw.startswith('"') else ""
        notes = tuple(Doubt("amount", text) for text in doubts)
        line = Line(raw, (start, start + len(raw)), 1.0, "ounce", name, carried=carried, doubts=notes)
        share = Spread(weight.low / total * 0.98, weight.best / total, min(1.0, weight.high / total * 1.02)) if weight else None
        lines.append(
            TranslatedLine(line, INGREDIENTS.get(key), None, weight, share, (), INGREDIENTS[key].cautions if key else (), notes)
        )
        start += len(raw) + 1
    formula = Formula(tuple(t.line for t in lines), "Larkspur's White Powder for the Complexion", "Mix and sift.", (), SOURCE, "")
    choices = measures.choose(SOURCE)
    return Translation(formula, choices[0].convention, choices, tuple(lines))


REASON = "white lead is a cumulative poison and may not be used on the skin; the two whites together cover as well"


@cache
def composition(reason: str = REASON, repeat: int = 1) -> Composition:
    old = translation(repeat).composition()
    stands = {INGREDIENTS["zinc-oxide"]: 0.7, INGREDIENTS["titanium-dioxide"]: 0.3}
    new = old.replace("lead-carbonate", stands, reason=reason, option="zinc and titanium whites")
    masses = [(p.ingredient, p.share * 0.92) for p in new.parts]
    masses += [(INGREDIENTS["magnesium-stearate"], 0.05), (INGREDIENTS["jojoba-oil"], 0.03)]
    notes = {"magnesium-stearate": "dry binder", "jojoba-oil": "liquid binder"}
    return Composition.of(masses, new.name, new.changes, new.omitted, new.source, notes)


@cache
def made_batch(reason: str = REASON, repeat: int = 1) -> Batch:
    return batch(composition(reason, repeat), 60, Balance(0.01, 0.2))


@cache
def table(reason: str = REASON, repeat: int = 1) -> ComparisonTable:
    return compare(translation(repeat), made_batch(reason, repeat))
