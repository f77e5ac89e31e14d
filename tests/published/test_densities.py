"""Densities of the glossary against pharmacopoeias, dispensatories and handbooks: the printed range meets the glossary's.

Books print the specific gravity: the density beside that of water at a stated temperature, as a rule that of the liquid. The
density of water is that of IAPWS-95 by the package `chemicals`.
"""

import pytest
from chemicals import iapws95_rho

import histkit as hk

# (ingredient, printed low, printed high, °C of the liquid, °C of the water it is compared with or None for g/mL, where printed)
PRINTED = [
    ("glycerin", 1.26, 1.26, 15.56, 15.56, "Simmons and Appleton, Handbook of Soap Manufacture (1908), ch. VIII"),
    ("absolute-alcohol", 0.7938, 0.7938, 15.56, 15.56, "Cooley's Cyclopaedia (6th ed.), alcoholometry"),
    ("absolute-alcohol", 0.795, 0.797, 15, 15, "Henley's Twentieth Century Formulas (1914)"),
    ("alcohol", 0.82, 0.82, 15.56, 15.56, "Brunton, Pharmacology (US ed.): USP 1880"),
    ("rectified-spirit", 0.838, 0.838, 15.56, 15.56, "Cooley's Cyclopaedia (6th ed.), volatile oils; Garrod, Essentials of Materia Medica"),
    ("alcohol", 0.817, 0.817, 15.56, 15.56, "Garrod, Essentials of Materia Medica"),
    ("alcohol", 0.835, 0.835, 15.56, 15.56, "Garrod, Essentials of Materia Medica"),
    ("proof-spirit", 0.92, 0.92, 15.56, 15.56, "Garrod, Essentials of Materia Medica"),
    ("diluted-alcohol", 0.941, 0.941, 15.56, 15.56, "Garrod, Essentials of Materia Medica"),
    ("diluted-alcohol", 0.938, 0.938, 15.56, 15.56, "White, Materia Medica: USP 1890"),
    ("diluted-alcohol", 0.935, 0.937, 15.56, 15.56, "USP 29"),
    ("sweet-almond-oil", 0.91, 0.915, 25, 25, "USP 29"),
    ("sweet-almond-oil", 0.918, 0.918, 15, 15, "Cooley's Cyclopaedia (6th ed.), fixed oils"),
    ("olive-oil", 0.9176, 0.9176, 15, 15, "Cooley's Cyclopaedia (6th ed.), fixed oils"),
    ("castor-oil", 0.957, 0.961, 25, 25, "USP 29"),
    ("castor-oil", 0.952, 0.965, 20, 20, "supplier sheet, castor oil BP"),
    ("jojoba-oil", 0.8642, 0.8642, 25, None, "monograph in the manner of the Merck Index"),
    ("tocopherol", 0.95, 0.95, 25, None, "data box on alpha-tocopherol"),
    ("rose-oil", 0.854, 0.862, 30, 15, "British Pharmaceutical Codex (1911)"),
    ("rose-oil", 0.856, 0.86, 30, 15, "British Pharmaceutical Codex (1911)"),
    ("rose-oil", 0.85, 0.858, 30, 15, "Simmons and Appleton, Handbook of Soap Manufacture (1908), ch. VIII"),
    ("rose-oil", 0.865, 0.88, 20, 20, "King's American Dispensatory (1898)"),
    ("lavender-oil", 0.883, 0.9, 15, 15, "Simmons and Appleton, Handbook of Soap Manufacture (1908), ch. VIII"),
    ("lavender-oil", 0.885, 0.9, 15, 15, "Simmons and Appleton, Handbook of Soap Manufacture (1908), ch. VIII"),
    ("bergamot-oil", 0.88, 0.886, 15, 15, "Simmons and Appleton, Handbook of Soap Manufacture (1908), ch. VIII"),
    ("bergamot-oil", 0.882, 0.886, 15, 15, "British Pharmaceutical Codex (1911)"),
    ("bergamot-oil", 0.88, 0.885, 15, 15, "King's American Dispensatory (1898)"),
    ("bergamot-oil", 0.86, 0.89, 15, 15, "Brunton, Pharmacology (US ed.): USP 1880"),
    ("bergamot-oil", 0.875, 0.885, 15.56, 15.56, "Cooley's Cyclopaedia (6th ed.), volatile oils"),
    ("lemon-oil", 0.856, 0.86, 15, 15, "Simmons and Appleton, Handbook of Soap Manufacture (1908), ch. VIII"),
    ("lemon-oil", 0.849, 0.855, 25, 25, "USP 28"),
    ("lemon-oil", 0.85, 0.856, 20, None, "text of about 1950 quoting the BP"),
    ("neroli-oil", 0.875, 0.882, 15, 15, "Simmons and Appleton, Handbook of Soap Manufacture (1908), ch. VIII"),
    ("clove-oil", 1.045, 1.061, 15, 15, "Simmons and Appleton, Handbook of Soap Manufacture (1908), ch. VIII"),
    ("clove-oil", 1.038, 1.06, 25, 25, "USP 32"),
    ("cinnamon-oil", 1, 1.035, 15, 15, "Simmons and Appleton, Handbook of Soap Manufacture (1908), ch. VIII"),
    ("cinnamon-oil", 1.03, 1.035, 15, 15, "Askinson, Perfumes and their Preparation (1892)"),
    ("cassia-oil", 1.06, 1.068, 15, 15, "Simmons and Appleton, Handbook of Soap Manufacture (1908), ch. VIII"),
    ("peppermint-oil", 0.9, 0.91, 15, 15, "Simmons and Appleton, Handbook of Soap Manufacture (1908), ch. VIII"),
    ("peppermint-oil", 0.906, 0.92, 15, 15, "Simmons and Appleton, Handbook of Soap Manufacture (1908), ch. VIII"),
    ("peppermint-oil", 0.897, 0.91, 20, None, "text of about 1950 quoting the BP"),
    ("geranium-oil", 0.89, 0.9, 15, 15, "Simmons and Appleton, Handbook of Soap Manufacture (1908), ch. VIII"),
    ("geranium-oil", 0.888, 0.895, 15, 15, "Simmons and Appleton, Handbook of Soap Manufacture (1908), ch. VIII"),
    ("geranium-oil", 0.897, 0.9, 15, 15, "Simmons and Appleton, Handbook of Soap Manufacture (1908), ch. VIII"),
    ("palmarosa-oil", 0.888, 0.895, 15, 15, "Simmons and Appleton, Handbook of Soap Manufacture (1908), ch. VIII"),
    ("sandalwood-oil", 0.975, 0.98, 15, 15, "Simmons and Appleton, Handbook of Soap Manufacture (1908), ch. VIII"),
    ("bitter-almond-oil", 1.045, 1.06, 15, 15, "Simmons and Appleton, Handbook of Soap Manufacture (1908), ch. VIII"),
    ("orange-oil", 0.849, 0.852, 15, 15, "Simmons and Appleton, Handbook of Soap Manufacture (1908), ch. VIII"),
    ("rosemary-oil", 0.9, 0.916, 15, 15, "Simmons and Appleton, Handbook of Soap Manufacture (1908), ch. VIII"),
    ("patchouli-oil", 0.965, 0.99, 15, 15, "Simmons and Appleton, Handbook of Soap Manufacture (1908), ch. VIII"),
    ("vetiver-oil", 1.01, 1.03, 15, 15, "Simmons and Appleton, Handbook of Soap Manufacture (1908), ch. VIII"),
    ("ylang-ylang-oil", 0.924, 0.95, 15, 15, "Simmons and Appleton, Handbook of Soap Manufacture (1908), ch. VIII"),
    ("petitgrain-oil", 0.886, 0.9, 15, 15, "Simmons and Appleton, Handbook of Soap Manufacture (1908), ch. VIII"),
    ("wintergreen-oil", 1.18, 1.187, 15, 15, "Simmons and Appleton, Handbook of Soap Manufacture (1908), ch. VIII"),
    ("caraway-oil", 0.907, 0.915, 15, 15, "Simmons and Appleton, Handbook of Soap Manufacture (1908), ch. VIII"),
    ("cedarwood-oil", 0.938, 0.96, 15, 15, "Simmons and Appleton, Handbook of Soap Manufacture (1908), ch. VIII"),
    ("thyme-oil", 0.91, 0.933, 15, 15, "Simmons and Appleton, Handbook of Soap Manufacture (1908), ch. VIII"),
    ("cardamom-oil", 0.917, 0.947, 25, 25, "USP 32"),
    ("nutmeg-oil", 0.885, 0.922, 20, None, "text of about 1950 quoting the BP"),
    ("coriander-oil", 0.865, 0.879, 20, None, "text of about 1950 quoting the BP"),
    ("mineral-oil", 0.885, 0.89, 15.56, 15.56, "British Pharmaceutical Codex (1911)"),
    ("mineral-oil", 0.87, 0.94, 25, 25, "British Pharmaceutical Codex (1911)"),
    ("mineral-oil", 0.818, 0.88, 25, 25, "USP 32"),
    ("simple-syrup", 1.33, 1.33, 15.56, 15.56, "Cooley's Cyclopaedia (6th ed.), simple syrup"),
    ("ammonia-solution", 0.88, 0.882, 15.56, 15.56, "Dick's Encyclopedia of Practical Receipts"),
    ("acetic-acid", 1.056, 1.058, 15, 15, "Brunton, Pharmacology (US ed.): USP 1880"),
    ("acetic-acid", 1.065, 1.066, 15.56, 15.56, "Brunton, Pharmacology (US ed.): USP 1880"),
    ("vinegar", 1.0135, 1.0251, 15.56, 15.56, "London Dispensatory, table of specific gravities"),
    ("chloroform", 1.49, 1.49, 15, 15, "White, Materia Medica: USP 1890"),
    ("chloroform", 1.475, 1.481, 20, 20, "British Pharmacopoeia 2013, App. I A"),
    ("ether", 0.72, 0.735, 15.56, 15.56, "British Homoeopathic Pharmacopoeia"),
    ("benzoin-compound-tincture", 0.87, 0.885, 25, 25, "USP 35"),
    ("aromatic-ammonia-spirit", 0.87, 0.87, 15.56, 15.56, "Dick's Encyclopedia of Practical Receipts"),
    ("cacao-butter", 0.892, 0.892, 15, 15, "Cooley's Cyclopaedia (6th ed.), fixed oils"),
]
THERMOMETER = 0.002
"""g/mL by which a liquid may differ between the printed temperature and that of the glossary's own figure: some 3 °C of an oil."""


def water(celsius):
    """g/mL at atmospheric pressure."""
    return iapws95_rho(celsius + 273.15, 101325.0) / 1000


@pytest.mark.parametrize(("key", "low", "high", "celsius", "beside", "where"), PRINTED)
def test_the_printed_density_lies_within_the_glossarys(key, low, high, celsius, beside, where):
    unit = 1.0 if beside is None else water(beside)
    known = hk.glossary.ingredients[key].value("density")
    assert known is not None
    assert known.low - THERMOMETER <= high * unit and low * unit <= known.high + THERMOMETER, (where, celsius, known)


@pytest.mark.parametrize("celsius", [15.56, 20, 25])
def test_water(celsius):
    known = hk.glossary.ingredients["water"].value("density")
    assert known.low <= water(celsius) <= known.high
