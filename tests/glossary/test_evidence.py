"""The glossary against what does not come from it: handbooks, laws, pharmacopoeias, and what every maker knows.

Names of the period, settled by hand, stand in test_names_of_the_period.py; densities of books in tests/published.
"""

import csv
import re
from collections import defaultdict
from pathlib import Path

import chemicals
import pytest

from histkit import glossary

HERE = Path(__file__).parent
ALL = list(glossary.ingredients.values())


def by_hand(name):
    with (HERE / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


# Entries of the identifier table of `chemicals` that stand for something else than the name on the packet: a cation or an
# anhydrous base instead of the salt, an idealised mineral, a doubled formula, "NH3·H2O" for a solution.
OTHERWISE = {
    "bismuth-oxychloride", "talc", "magnesium-carbonate", "magnesium-carbonate-heavy", "plaster-of-paris", "iron-oxide-yellow",
    "iron-oxide-black", "ultramarine", "ponceau", "fluorescein", "arsenic-trisulfide", "antimony-golden-sulfide", "ammonia-solution",
    "alum", "potassium-bitartrate", "sodium-phosphate", "magnesium-chloride",
}  # fmt: skip


def molar_mass(formula):
    """g/mol of 'CuSO4.5H2O' or 'CaSO4.0.5H2O'; the parts behind a point may have a number before them."""
    from chemicals.elements import molecular_weight, nested_formula_parser

    total = 0.0
    for part in re.split(r"(?<!\.0)\.(?=\d*\.?\d*[A-Z(])", formula):
        number, atoms = re.fullmatch(r"(\d*\.?\d*)(.+)", part).groups()
        total += float(number or 1) * molecular_weight(nested_formula_parser(atoms))
    return total


def test_formulas_can_be_read_and_agree_with_the_number_of_the_substance():
    """Molar masses from the chemical formula against those that the package `chemicals` gives for the CAS number."""
    chemicals = pytest.importorskip("chemicals")
    compared, differ = 0, set()
    for entry in ALL:
        if not entry.formula or entry.formula.endswith("x"):  # K2Sx, liver of sulphur, is a mixture
            continue
        mass = molar_mass(entry.formula)
        assert mass > 1, entry.id
        try:
            known = chemicals.MW(entry.cas) if entry.cas else None
        except ValueError:
            known = None
        if known:
            compared += 1
            if mass != pytest.approx(known, rel=0.002):
                differ.add(entry.id)
    assert compared >= 250
    assert differ == OTHERWISE


def test_half_a_water_is_read():
    assert molar_mass("CaSO4.0.5H2O") == pytest.approx(145.15, abs=0.02)  # calcium sulfate hemihydrate, from atomic weights
    assert molar_mass("CuSO4.5H2O") == pytest.approx(249.68, abs=0.02)


def handbook_density(entry):
    """g/cm3 of a solid by the CRC Handbook's tables, as the package `chemicals` has them: molar mass over molar volume."""
    from chemicals import volume

    volume._load_rho_data()
    solids = volume.rho_data_CRC_inorg_s_const
    if not entry.cas or not entry.formula or entry.cas not in solids.index:
        return None
    return molar_mass(entry.formula) / 1e6 / solids.at[entry.cas, "Vm"]


def liquid_density(entry, kelvin=293.15):
    """g/mL of a pure liquid by the equations of Perry's Handbook (8th ed., table 2-32) and of the VDI Heat Atlas."""
    from chemicals import volume
    from chemicals.dippr import EQ105

    volume._load_rho_data()
    try:
        mass = chemicals.MW(entry.cas)
    except ValueError:
        return None
    perry, vdi = volume.rho_data_Perry_8E_105_l, volume.rho_data_VDI_PPDS_2
    if entry.cas in perry.index and perry.at[entry.cas, "Tmin"] <= kelvin <= perry.at[entry.cas, "Tmax"]:
        return EQ105(kelvin, *(perry.at[entry.cas, name] for name in ("C1", "C2", "C3", "C4"))) * mass / 1e6
    if entry.cas in vdi.index and vdi.at[entry.cas, "Tc"] > kelvin:
        row = vdi.loc[entry.cas]
        away = 1 - kelvin / row.Tc
        return (row.rhoc + row.A * away**0.35 + row.B * away ** (2 / 3) + row.C * away + row.D * away ** (4 / 3)) / 1000
    return None


OTHER_SUBSTANCE = {
    "magnesium-carbonate-heavy",  # the basic carbonate of trade; the table has MgCO3, to which the upper value belongs
    "potassium-hydrogen-oxalate",  # the molar volume there is that of the salt with half a water
}
"""Rows that cite `chemicals` whose own entry there is not quite the thing on the packet."""


def test_densities_of_the_handbooks_are_those_of_the_handbooks():
    """Every density that cites the package `chemicals` and has a row in its tables, within 1.5 %."""
    compared, wrong = 0, []
    for row in glossary.rows("properties"):
        entry = glossary.ingredients[row["ingredient"]]
        if row["source"] != "chemicals-1.5" or row["property"] not in ("density", "true-density"):
            continue
        value = handbook_density(entry) if row["property"] == "true-density" else liquid_density(entry)
        if value is not None:
            compared += 1
            if not float(row["low"]) / 1.015 <= value <= float(row["high"]) * 1.015:
                wrong.append((entry.id, row["low"], row["high"], round(float(value), 3)))
    assert compared >= 100
    assert [row for row in wrong if row[0] not in OTHER_SUBSTANCE] == []


def test_dovers_powder_is_a_tenth_opium():
    """US Pharmacopeia of 1890: 10 g ipecac, 10 g opium, 80 g milk sugar (King's American Dispensatory, 1898)."""
    assert dict(glossary.ingredients["dovers-powder"].made_of) == {"opium": 0.1, "ipecacuanha-root": 0.1, "lactose": 0.8}


def test_cold_cream_is_the_ointment_of_rose_water():
    """US Pharmacopeia IX: 125 g spermaceti, 120 white wax, 560 almond oil, 5 borax, 190 rose water."""
    parts = dict(glossary.ingredients["cold-cream"].made_of)
    assert parts["spermaceti"] == 0.125 and parts["sweet-almond-oil"] == 0.56 and parts["rose-water"] == 0.19


# -- what the law says, what a thing does, what takes its place --------------------------------------------------------------


def test_what_the_law_forbids_is_forbidden_here():
    """regulated.csv names, by CAS number, what the laws of cosmetics forbid, written from memory of the laws and not from the tables."""
    by_number = defaultdict(list)
    for entry in ALL:
        by_number[entry.cas].append(entry)
    harmless = []
    for row in by_hand("regulated.csv"):
        for entry in by_number[row["cas"]] or [None]:
            levels = {(c.level, c.region) for c in entry.cautions} if entry else set()
            if (row["level"], row["region"]) not in levels:
                harmless.append((row["cas"], row["regulation"], entry and entry.id))
    assert harmless == []


def test_the_commonest_things_do_chiefly_what_they_are_bought_for():
    """chief_roles.csv, written by hand from common practice."""
    chief = {(entry.id, role.role) for entry in ALL for role in entry.roles if role.main}
    assert [row for row in by_hand("chief_roles.csv") if (row["ingredient"], row["role"]) not in chief] == []


def test_a_poison_of_the_powders_has_a_stand_in_that_does_its_work():
    """needed_stand_ins.csv, written by hand from common practice: each colour and body has one of its own kind."""
    lacking = []
    for row in by_hand("needed_stand_ins.csv"):
        offered = {key for stand in glossary.ingredients[row["replaced"]].stands for key, _ in stand.parts}
        if not offered & set(row["one_of"].split()):
            lacking.append((row["replaced"], row["one_of"], offered))
    assert lacking == []


def test_every_forbidden_ingredient_has_a_stand_in_or_may_be_left_out():
    """A maker is never only refused: something takes the place, or the table says what leaving it out changes."""
    assert [e.id for e in ALL if e.forbidden and not any(s.parts or s.changes for s in e.stands)] == []
