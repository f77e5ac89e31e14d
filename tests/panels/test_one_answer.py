"""The panels work nothing out: what they say is what the record says, and the shell says the same."""

import ast
import json
import re
from dataclasses import replace
from pathlib import Path

import pytest
from panels_without_browser import fields, shown
from typer.testing import CliRunner

import histkit
from histkit.keeping import example
from histkit.keeping.records import save
from histkit.panels import batch, pressing
from histkit.panels.state import Desk
from histkit.shell import main as cli

PANELS = Path(histkit.__file__).parent / "panels"
WORKING_ROOMS = ("bench", "composing", "translating", "measures")
READS_A_TABLE = {
    "levels", "pans", "process_steps", "all_faults", "faults_grid",  # what is published or usual, out of a table
    "conventions", "rows",  # the measures and countries to choose from
    "forbidden_within", "refusal_reason", "work",  # what is said of an ingredient, and of a source
}  # fmt: skip
"""What a panel may take from the rooms that work things out, beside nouns: it reads a table or says something in words. Whatever
weighs, presses, blends, fills or draws up a proposal is a method of `Record`."""


def imports_of(tree):
    """(module, name) of every import, wherever in the file it stands; (module, '') where the module itself is imported."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            yield from ((alias.name, "") for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, "imports are written out in full"
            yield from ((node.module, alias.name) for alias in node.names)


def names_used_of(tree, module):
    """The attributes that are taken from a module of that name: `measures.conventions`."""
    return {
        n.attr for n in ast.walk(tree) if isinstance(n, ast.Attribute) and isinstance(n.value, ast.Name) and n.value.id == module
    }


def calculations(source):
    """What a panel takes from the working rooms that is neither a noun nor a table."""
    tree, out = ast.parse(source), []
    for module, name in imports_of(tree):
        parts = module.split(".")
        if parts[0] != "histkit":
            continue
        if len(parts) == 1 and name in ("", *WORKING_ROOMS):  # `import histkit`, `from histkit import measures`
            taken = names_used_of(tree, name or "histkit") | names_used_of(tree, "hk")
        elif len(parts) > 1 and parts[1] in WORKING_ROOMS:
            taken = {name}
        else:
            continue
        out += [f"{module}: {one or 'the whole module'}" for one in taken if not one[:1].isupper() and one not in READS_A_TABLE]
    return out


@pytest.mark.parametrize("module", sorted(path.name for path in PANELS.glob("*.py")))
def test_a_panel_takes_nouns_and_tables_from_the_working_rooms_and_nothing_else(module):
    assert calculations((PANELS / module).read_text(encoding="utf-8")) == []


@pytest.mark.parametrize("line", [
    "from histkit.bench.batching import batch_for_pans", "def f():\n    from histkit.bench.pressing import press", "import histkit.bench.pans",
    "from histkit import measures\nmeasures.drop_mass('x')", "import histkit as hk\nhk.press(1)", "from histkit.composing.blending import Blend, solve_blend",
    "from histkit.translating.translation import translate",
])  # fmt: skip
def test_the_rule_finds_what_it_forbids(line):
    assert calculations(line) != []


def test_nouns_and_tables_are_allowed():
    allowed = "from histkit.bench.trials import Trial, Varied\nfrom histkit import measures\nmeasures.conventions\nfrom histkit.keeping.records import Record"
    assert calculations(allowed) == []


# -- as much as the pans take -----------------------------------------------------------------------------------------

WAYS = [
    {},
    {"press": "thumb"},
    {"press": "arbor"},
    {"pressure_mpa": 7.5},
]
PANS = [
    {"pans": 1},
    {"pans": 3, "pan_diameter_mm": 26.0, "pan_depth_mm": 3.0, "below_rim_mm": 0.4},
    {"pans": 2, "pan_width_mm": 20.0, "pan_length_mm": 30.0, "density_g_cm3": 1.31},
    {"pans": 2, "allowance": 0.25, "readability": 0.1, "minimum": 1.0},
]


@pytest.mark.parametrize("way", WAYS)
@pytest.mark.parametrize("pans", PANS)
def test_panel_record_and_shell_say_the_same_grams(tmp_path, way, pans):
    record = example.record()
    record = replace(
        record,
        pressing=replace(record.pressing, **way),
        weighing=replace(record.weighing, make="cupboard", cupboard=(("talc", 5.0),), **pans),
    )
    need = record.pans_need()
    table = Desk(tmp_path / "my-formula.json")
    table.keep(record)
    panel = pressing.build(table)

    assert record.pan_fill() == need.fill
    assert f"{need.fill.best:.1f} g" in shown(panel) and f"{need.make:.1f} g" in shown(panel), "what the panel shows"
    fields(panel)["Make as much as the pans take"].click()
    table_record = table.record
    made = table_record.batch().grams
    assert f"The batch is now {made:g} g" in shown(panel), "what it then makes"
    step = record.weighing.readability
    assert need.make - 1e-6 <= made < need.make + step * 1.001, "rounded up to what the balance shows"
    assert f"{made:.2f}" in batch.bench_view(table_record) or f"{made:.1f}" in batch.bench_view(table_record)

    path = save(replace(record, weighing=replace(record.weighing, make="pans", cupboard=())), tmp_path / "shell.json")
    answer = CliRunner().invoke(cli.app, ["press", str(path), "--json"])
    assert answer.exit_code == 0, answer.output
    in_shell = json.loads(answer.stdout)
    assert in_shell["pan_fill"]["best"] == pytest.approx(need.fill.best)
    assert sum(weighing["grams"] for weighing in in_shell["weighings"]) == pytest.approx(made)
    words = CliRunner().invoke(cli.app, ["press", str(path)]).stdout
    assert need.text() in " ".join(words.split()) or need.text() in words
    assert re.search(rf"\b{re.escape(f'{made:.2f}')} g|\b{re.escape(f'{made:.1f}')} g", words)


def test_the_arithmetic_of_pans_by_hand(tmp_path):
    """Two rectangular pans of 20 by 30 by 4 mm, a measured density of 1.25, a tenth more: 2 × 2.4 cm3 × 1.25 × 1.1 = 6.6 g."""
    record = example.record()
    pans = {"pans": 2, "pan_width_mm": 20.0, "pan_length_mm": 30.0, "pan_depth_mm": 4.0, "density_g_cm3": 1.25, "allowance": 0.1}
    record = replace(record, weighing=replace(record.weighing, **pans))
    assert record.pan_fill().best == pytest.approx(6.0) and record.pans_need().make == pytest.approx(6.6)
    assert pressing.as_much_as_the_pans_take(record).weighing.grams == pytest.approx(6.6)


def test_how_hard_it_is_pressed_counts_in_the_panel_too(tmp_path):
    """The panel once asked without the pressure and the measured density, and so told another amount than it made."""
    record = example.record()
    record = replace(record, weighing=replace(record.weighing, pans=3, density_g_cm3=2.0))
    assert f"{record.pan_fill().best:.1f} g" in pressing.pans_view(record)
    lighter = replace(record, weighing=replace(record.weighing, density_g_cm3=1.0))
    assert pressing.pans_view(lighter) != pressing.pans_view(record)
    hard = replace(record, pressing=replace(record.pressing, pressure_mpa=3.0))
    assert "MPa" in pressing.pans_view(hard) and "3" in pressing.pans_view(hard)


def test_the_least_batch_is_that_of_the_makers_own_balance():
    """Its repeatability and the limit of error were once left out here."""
    record = example.record()
    record = replace(record, weighing=replace(record.weighing, grams=1.0, error_limit=0.01, repeatability=0.05))
    assert f"{record.straight_from():g} g" in batch.least_view(record)
    coarser = replace(record, weighing=replace(record.weighing, error_limit=0.05))
    assert coarser.straight_from() != record.straight_from()
