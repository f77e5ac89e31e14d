"""Options that several commands share: how a group of them becomes options of a command."""

import inspect
from dataclasses import dataclass, fields
from typing import Annotated, get_type_hints

import pytest
import typer
from typer.testing import CliRunner

from histkit.shell import bench, formulas, tables
from histkit.shell.main import app
from histkit.shell.options import BatchOptions, FormulaOptions, PressOptions, with_options


@dataclass(frozen=True)
class Oven:
    heat: Annotated[int, typer.Option(help="Degrees.")]
    fan: Annotated[bool, typer.Option("--fan", help="Blow.")] = False


@with_options
def bake(oven: Oven, loaves: Annotated[int, typer.Option(help="How many.")] = 1) -> None:
    """Bake bread."""
    print(oven, loaves)


def test_a_group_becomes_plain_parameters_with_their_types():
    """Whatever asks a function for its parameters, in either of Python's two ways, sees each option by itself."""
    parameters = inspect.signature(bake).parameters
    assert list(parameters) == ["heat", "fan", "loaves"]
    assert [p.default for p in parameters.values()] == [inspect.Parameter.empty, False, 1]
    hints = get_type_hints(bake, include_extras=True)
    assert {name: p.annotation for name, p in parameters.items()} == {name: hints[name] for name in parameters}
    assert hints["heat"] == Annotated[int, fields_hint("heat")]
    assert (bake.__name__, bake.__doc__) == ("bake", "Bake bread.")


def fields_hint(name):
    return get_type_hints(Oven, include_extras=True)[name].__metadata__[0]


def test_the_command_is_given_the_group(capsys):
    bake(heat=200, fan=True, loaves=2)
    assert capsys.readouterr().out == "Oven(heat=200, fan=True) 2\n"


@pytest.mark.parametrize(
    ("command", "groups"),
    [
        (formulas.translate, (FormulaOptions,)),
        (formulas.blend, (FormulaOptions,)),
        (bench.press, (FormulaOptions, PressOptions, BatchOptions)),
        (bench.batch, (FormulaOptions, PressOptions, BatchOptions)),
        (bench.label, (FormulaOptions, PressOptions)),
        (bench.effects, (FormulaOptions, PressOptions, BatchOptions)),
        (bench.trials, (FormulaOptions, PressOptions)),
        (tables.table, (FormulaOptions, PressOptions, BatchOptions)),
    ],
)
def test_each_command_offers_its_groups_whole(command, groups):
    offered = list(inspect.signature(command).parameters)
    assert offered[: sum(len(fields(group)) for group in groups)] == [f.name for group in groups for f in fields(group)]
    shown = CliRunner().invoke(app, [command.__name__, "--help"], env={"COLUMNS": "200"}).stdout
    for word in (
        "--book",
        "--instead",
        *(["--binder"] if PressOptions in groups else ()),
        *(["--pans"] if BatchOptions in groups else ()),
    ):
        assert word in shown
