"""What essential oils hold and how they bend light, typed from the works beside them; and parts of old preparations.

The values were typed from the source, not taken from the tables: a row that is shifted, or taken away, fails here.
"""

import pytest

from histkit import glossary

HELD = [
    # ISO 3518:2002, as printed by Butaud, PhytoKeys 2015 (PMC4611752), table 1
    ("sandalwood-oil", "alpha-santalol", 41, 55),
    ("sandalwood-oil", "beta-santalol", 16, 24),
    # ISO 9909, as quoted by Ben Khedher and others, EXCLI Journal 16, 2017 (PMC5427463)
    ("sage-oil", "alpha-thujone", 18, 43),
    ("sage-oil", "beta-thujone", 3, 8.5),
    ("sage-oil", "camphor", 4.5, 24.5),
    ("sage-oil", "1,8-cineole", 5.5, 13),
    # Polish Pharmacopoeia VIII, as quoted by Wińska and others, Molecules 24:2130, 2019 (PMC6612361)
    ("clove-oil", "eugenol", 75, 88),
    ("clove-oil", "beta-caryophyllene", 5, 14),
    ("clove-oil", "eugenyl acetate", 4, 15),
    ("peppermint-oil", "menthone", 14, 32),
    ("peppermint-oil", "1,8-cineole", 3.5, 14),
    ("peppermint-oil", "menthyl acetate", 2.8, 10),
    ("peppermint-oil", "limonene", 1, 5),
    ("peppermint-oil", "pulegone", 0, 4),
    # ISO 3515:2002 for lavender of other origin, in PMC9148000, table 2
    ("lavender-oil", "linalool", 20, 43),
    ("lavender-oil", "linalyl acetate", 25, 47),
    ("lavender-oil", "camphor", 0, 1.5),
    # Dosoky and Setzer, Int. J. Mol. Sci. 19:1966, 2018 (PMC6073409), tables of volatile and non-volatile parts
    ("neroli-oil", "linalool", 43.7, 54.3),
    ("orange-oil", "limonene", 83.9, 95.9),
    ("bitter-orange-oil", "limonene", 89.7, 94.7),
    ("lemon-oil", "limonene", 56.6, 76),
    ("lemon-oil", "bergapten", 0.0001, 0.035),
    ("mandarin-oil", "gamma-terpinene", 16.4, 22.7),
    ("petitgrain-oil", "linalyl acetate", 51, 71),
    # Samarth and others, Future Science OA 3, 2017 (PMC5674267)
    ("nutmeg-oil", "safrole", 0.1, 3.2),
    ("nutmeg-oil", "myristicin", 0.5, 13.5),
    # Andrade and others, Future Science OA 4, 2018 (PMC5905578)
    ("rosemary-oil", "1,8-cineole", 15, 55),
    ("rosemary-oil", "camphor", 5, 21),
    # Heghes and others, Molecules 24:1675, 2019 (PMC6539827), table 1
    ("geranium-oil", "citronellol", 15.2, 48.44),
    ("ylang-ylang-oil", "benzyl benzoate", 3.8, 27.48),
    ("coriander-oil", "linalool", 60, 87),
    ("basil-oil", "methyl eugenol", 1, 9),
    ("calamus-oil", "beta-asarone", 2.22, 83.2),
    # Dosoky and Setzer, Int. J. Mol. Sci. 22:2380, 2021 (PMC7956842), table 1
    ("anise-oil", "estragole", 0.5, 5),
    ("fennel-oil", "trans-anethole", 52.5, 84.3),
    # Indian Pharmacopoeia, monograph Juniper Oil, 2017
    ("juniper-oil", "alpha-pinene", 20, 50),
    ("juniper-oil", "limonene", 2, 12),
]


@pytest.mark.parametrize(("oil", "constituent", "low", "high"), HELD)
def test_shares_of_constituents_are_those_of_the_standard_or_the_analysis(oil, constituent, low, high):
    held = [
        (float(r["low"]), float(r["high"]))
        for r in glossary.rows("constituents")
        if r["ingredient"] == oil and r["constituent"] == constituent
    ]
    assert held == [(low, high)]


BENDS = [
    # Simmons and Appleton 1908, chapter VIII, refractive index at 20 C
    ("cassia-oil", 1.6014, 1.6048),
    ("cedarwood-oil", 1.5013, 1.5030),
    ("rose-oil", 1.4600, 1.4645),
    ("patchouli-oil", 1.504, 1.511),
    ("sandalwood-oil", 1.5045, 1.5060),
    ("wintergreen-oil", 1.5354, 1.5364),
    ("ylang-ylang-oil", 1.496, 1.512),
    ("lavender-oil", 1.459, 1.464),
    # USP 32, monographs Anise Oil and Cardamom Oil; USP 29, Peppermint Oil
    ("anise-oil", 1.553, 1.560),
    ("cardamom-oil", 1.463, 1.466),
    ("peppermint-oil", 1.459, 1.465),
]


@pytest.mark.parametrize(("oil", "low", "high"), BENDS)
def test_refractive_indices_are_those_printed(oil, low, high):
    rows = [r for r in glossary.rows("properties") if r["ingredient"] == oil and r["property"] == "refractive-index"]
    assert [(float(r["low"]), float(r["high"])) for r in rows] == [(low, high)]


PARTS = [
    # Hewlett, Epitome of the Pharmacopeia, 1921: the share after the name of the drug
    ("aconite-tincture", "aconite", 0.10),
    ("arnica-tincture", "arnica-flowers", 0.20),
    ("belladonna-tincture", "belladonna-leaves", 0.10),
    ("cantharides-tincture", "cantharides", 0.10),
    ("capsicum-tincture", "capsicum", 0.10),
    ("nux-vomica-tincture", "nux-vomica", 0.10),
    ("opium-tincture", "opium", 0.10),
    ("lobelia-tincture", "lobelia-herb", 0.10),
    ("iodine-tincture", "iodine", 0.07),
    ("iodine-tincture", "potassium-iodide", 0.05),
    ("mercurial-ointment", "mercury", 0.50),
    ("ammoniated-mercury-ointment", "ammoniated-mercury", 0.10),
    ("red-mercuric-oxide-ointment", "mercuric-oxide", 0.10),
    ("sulfur-ointment", "sulfur", 0.15),
    ("zinc-ointment", "zinc-oxide", 0.20),
    ("tragacanth-mucilage", "glycerin", 0.18),
    ("soap-plaster", "lead-plaster", 0.90),
    # King's American Dispensatory 1898, Ceratum Resinae: 350, 150 and 500 grams to 1000
    ("resin-ointment", "colophony", 0.35),
    ("resin-ointment", "lard", 0.50),
    # Brunton 1885, Spiritus Odoratus: parts by weight, of 1000
    ("cologne-water", "bergamot-oil", 0.016),
    ("cologne-water", "alcohol", 0.800),
    # British Pharmaceutical Codex 1911, Aquae Medicatae: 0.20 of oil to 100
    ("dill-water", "dill-oil", 0.002),
    ("pimento-water", "pimento-oil", 0.002),
]


@pytest.mark.parametrize(("preparation", "part", "share"), PARTS)
def test_parts_of_preparations_are_those_of_the_formula(preparation, part, share):
    assert dict(glossary.ingredients[preparation].made_of)[part] == pytest.approx(share)


def test_tinctures_of_the_perfumer_follow_from_ounces_and_quarts():
    """Askinson 1892: so many ounces to five quarts of alcohol; an ounce of 28.35 g, a quart of 946.35 mL at 0.812 g/mL."""
    alcohol = 5 * 946.35 * 0.812
    for tincture, drug, ounces in (("musk-tincture", "musk", 2.5), ("ambergris-tincture", "ambergris", 5),
                                   ("tonka-tincture", "tonka-bean", 21), ("vanilla-tincture", "vanilla-bean", 8)):  # fmt: skip
        grams = ounces * 28.35
        assert dict(glossary.ingredients[tincture].made_of)[drug] == pytest.approx(grams / (grams + alcohol), rel=0.005)
