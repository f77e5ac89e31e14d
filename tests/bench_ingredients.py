"""A small cupboard for the tests of the bench, independent of the glossary's tables. Values are made up but plausible."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from types import SimpleNamespace

import pytest

from histkit.base.errors import UnknownName
from histkit.composing.composition import Composition
from histkit.glossary.nouns import Caution, Ingredient, Property, Role, Stand

NEVER = Caution("forbidden", "Lead is a poison. Rules differ: ask a safety assessor.", "test", "EU 1223/2009 Annex II/289", "EU")
DUST = Caution("care", "Fine dust: wear a mask.", "test", form="bench")
LIMITED = Caution("restricted", "Limited in the finished product. Ask a safety assessor.", "test", "Annex III", "EU", limit=0.25)


def made(
    key: str,
    kind: str,
    state: str,
    main: str,
    also: str = "",
    cautions: tuple[Caution, ...] = (),
    stands: tuple[Stand, ...] = (),
    made_of: tuple[tuple[str, float], ...] = (),
    **values: float | tuple[float, float],
) -> Ingredient:
    roles = tuple(Role(r, True) for r in main.split()) + tuple(Role(r, False) for r in also.split())
    properties = tuple(
        Property(name.replace("_", "-"), *(v if isinstance(v, tuple) else (v, v)), unit="") for name, v in values.items()
    )
    name = key.replace("-", " ")
    return Ingredient(
        key, name, inci=name.title(), kind=kind, state=state, roles=roles, cautions=cautions, properties=properties,
        stands=stands, made_of=made_of,
    )  # fmt: skip


TWO_WHITES = Stand(
    "zinc and titanium whites", (("zinc-oxide", 0.7), ("titanium-dioxide", 0.3)), "cover, whiteness", "less heavy", "test"
)

CUPBOARD: dict[str, Ingredient] = {
    i.id: i
    for i in (
        made("talc", "mineral", "powder", "bulk slip", "absorbency", true_density=2.77, bulk_density=(0.56, 0.64),
             oil_absorption=38, refractive_index=(1.54, 1.59)),
        made("kaolin", "mineral", "powder", "absorbency", "bulk adhesion", true_density=2.6, bulk_density=(0.25, 0.45),
             oil_absorption=45, refractive_index=1.56),
        made("sericite", "mineral", "powder", "slip bulk", "adhesion", true_density=(2.6, 2.9), bulk_density=(0.2, 0.35)),
        made("zinc-oxide", "chemical", "powder", "opacity", "adhesion astringent", (DUST, LIMITED), true_density=5.6,
             bulk_density=(0.45, 0.6), oil_absorption=(12, 20), refractive_index=(2.0, 2.02)),
        made("titanium-dioxide", "chemical", "powder", "opacity colour", "", (DUST,), true_density=4.2,
             bulk_density=(0.5, 0.75), oil_absorption=(16, 22), refractive_index=(2.6, 2.9)),
        made("lead-carbonate", "chemical", "powder", "opacity", "adhesion", (NEVER,),
             (TWO_WHITES, Stand("leave out", (), "nothing", "no cover", "test")), true_density=(6.5, 6.7), bulk_density=1.3,
             oil_absorption=(9, 12), refractive_index=(1.94, 2.09)),
        made("bismuth-oxychloride", "chemical", "powder", "opacity", "bloom"),
        made("magnesium-carbonate", "chemical", "powder", "absorbency", "bulk", true_density=2.2,
             bulk_density=(0.14, 0.17), oil_absorption=(100, 170), refractive_index=1.53),
        made("rice-starch", "starch-flour", "powder", "bulk absorbency", "bloom", true_density=1.5,
             bulk_density=(0.35, 0.5), oil_absorption=(60, 90), refractive_index=1.53),
        made("magnesium-stearate", "chemical", "powder", "binder adhesion", "slip", true_density=1.05, bulk_density=0.16,
             oil_absorption=(80, 150), refractive_index=1.45),
        made("zinc-stearate", "chemical", "powder", "binder adhesion", "slip", true_density=1.095, bulk_density=0.2,
             oil_absorption=(80, 150), refractive_index=1.45),
        made("carmine", "colour", "powder", "colour", true_density=1.6),
        made("iron-oxide-red", "colour", "powder", "colour", "opacity", true_density=5.0),
        made("jojoba-oil", "fixed-oil", "liquid", "emollient", density=0.865),
        made("almond-oil", "fixed-oil", "liquid", "emollient", density=0.915),
        made("rose-oil", "essential-oil", "liquid", "fragrance", density=(0.85, 0.87)),
        made("lavender-oil", "essential-oil", "liquid", "fragrance", density=0.885),
        made("alcohol", "spirit", "liquid", "solvent", density=0.81),
        made("orris-root", "botanical", "powder", "fragrance", "bulk", true_density=1.45),
        made("bloom-of-youth", "preparation", "powder", "opacity", made_of=(("lead-carbonate", 0.3), ("talc", 0.7))),
        made("rouge-base", "preparation", "powder", "colour", made_of=(("carmine", 0.2), ("talc", 0.8))),
    )
}  # fmt: skip

def tinted() -> Composition:
    """An invented tinted powder with a trace of colour and scent."""
    return Composition.of(
        [("talc", 60), ("kaolin", 25), ("zinc-oxide", 14.8), ("carmine", 0.1), ("rose-oil", 0.1)], "invented tinted powder"
    )


CONSTITUENTS = tuple(
    {"ingredient": oil, "constituent": name, "cas": "", "low": "5", "high": high, "allergen": allergen, "source": "test"}
    for oil, name, high, allergen in (
        ("rose-oil", "Geraniol", "25", "yes"),
        ("rose-oil", "Stearoptene", "22", "no"),
        ("lavender-oil", "Linalool", "45", "yes"),
    )
)


def ingredient(key: str | Ingredient) -> Ingredient:
    if isinstance(key, Ingredient):
        return key
    if key not in CUPBOARD:
        raise UnknownName("ingredient", key, ())
    return CUPBOARD[key]


def rows(name: str) -> list[dict[str, str]]:
    assert name == "constituents"
    return [dict(row) for row in CONSTITUENTS]


@contextmanager
def as_glossary() -> Iterator[None]:
    """While this runs, the package looks its ingredients up in the cupboard."""
    import histkit

    def name_of(key: str) -> str:
        return CUPBOARD[key].name if key in CUPBOARD else key

    stand_in = SimpleNamespace(ingredients=CUPBOARD, ingredient=ingredient, name_of=name_of, rows=rows)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(histkit, "glossary", stand_in, raising=False)
        yield
