"""The rooms of the package: arrows point down, nothing runs in a circle, and no module or function grows too large.

A guard of the layout that DEVELOPERS.md draws. It reads the imports of every file, those inside functions included; what is
imported for type checkers alone does not count.
"""

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

PACKAGE = Path(__file__).parent.parent / "histkit"
ROOMS = (
    "base",
    "display",
    "measures",
    "glossary",
    "reading",
    "safety",
    "composing",
    "translating",
    "bench",
    "shade",
    "telling",
    "books",
    "photo",
    "keeping",
    "panels",
    "shell",
)
"""The lowest first: a room may import from itself and from those before it."""
MOST_FLAT = 12
MOST_LINES = 500
MOST_LINES_OF_A_FUNCTION = 60


def modules_in(package: Path) -> dict[str, Path]:
    """Every module by its dotted name, the package's own name first."""
    found = {}
    for path in sorted(package.rglob("*.py")):
        parts = [package.name, *path.relative_to(package).with_suffix("").parts]
        found[".".join(parts[:-1] if parts[-1] == "__init__" else parts)] = path
    return found


def _statements(node: ast.AST) -> Iterator[ast.AST]:
    """All statements but those under `if TYPE_CHECKING:`."""
    for child in ast.iter_child_nodes(node):
        if isinstance(child, ast.If) and "TYPE_CHECKING" in ast.unparse(child.test):
            for other in child.orelse:
                yield other
                yield from _statements(other)
            continue
        yield child
        yield from _statements(child)


def imports_of(name: str, path: Path, modules: dict[str, Path]) -> set[str]:
    """The modules of the package that a file imports, at the top or inside a function, or loads through the table `_HOMES`."""
    root = name.partition(".")[0]
    package = name if path.name == "__init__.py" else name.rpartition(".")[0]
    wanted: set[str] = set()
    for node in _statements(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            wanted |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            above = package.split(".")[: len(package.split(".")) - node.level + 1] if node.level else []
            module = ".".join([*above, *([node.module] if node.module else [])])
            for alias in node.names:
                whole = f"{module}.{alias.name}"
                wanted.add(whole if whole in modules else module)
        elif isinstance(node, ast.Assign) and any(isinstance(t, ast.Name) and t.id == "_HOMES" for t in node.targets):
            strings = {n.value.rstrip(":") for n in ast.walk(node.value) if isinstance(n, ast.Constant) and isinstance(n.value, str)}
            wanted |= {f"{package}.{text}" for text in strings if f"{package}.{text}" in modules}
    return {module for module in wanted if module.partition(".")[0] == root and module in modules} - {name}


def room_of(name: str) -> str:
    """The folder a module lies in; "" for the few that lie flat."""
    parts = name.split(".")
    return parts[1] if len(parts) > 2 or (len(parts) == 2 and parts[1] in ROOMS) else ""


def circles(graph: dict[str, set[str]]) -> list[list[str]]:
    """The groups of modules that reach each other (Tarjan's strongly connected components of more than one)."""
    order: dict[str, int] = {}
    low: dict[str, int] = {}
    stack: list[str] = []
    groups: list[list[str]] = []

    def visit(module: str) -> None:
        order[module] = low[module] = len(order)
        stack.append(module)
        for other in graph[module]:
            if other not in order:
                visit(other)
                low[module] = min(low[module], low[other])
            elif other in stack:
                low[module] = min(low[module], order[other])
        if low[module] == order[module]:
            group = stack[stack.index(module) :]
            del stack[stack.index(module) :]
            if len(group) > 1:
                groups.append(sorted(group))

    for module in graph:
        if module not in order:
            visit(module)
    return groups


def upward(graph: dict[str, set[str]]) -> list[str]:
    """The arrows that point to a higher room, and those to the package's face, which is above all of them."""
    faults = []
    for module, others in graph.items():
        room = room_of(module)
        for other in others:
            height = ROOMS.index(room_of(other)) if room_of(other) else len(ROOMS)
            if room and height > ROOMS.index(room):
                faults.append(f"{module} -> {other}")
    return sorted(faults)


MODULES = modules_in(PACKAGE)
GRAPH = {name: imports_of(name, path, MODULES) for name, path in MODULES.items()}


def test_every_folder_is_a_room():
    folders = {path.parent.relative_to(PACKAGE).parts[0] for path in MODULES.values() if path.parent != PACKAGE}
    assert folders == set(ROOMS)
    assert sum(path.parent == PACKAGE for path in MODULES.values()) <= MOST_FLAT


def test_no_circle():
    assert circles(GRAPH) == []


def test_arrows_point_down():
    assert upward(GRAPH) == []


def test_display_knows_no_noun():
    assert [f"{m} -> {o}" for m, others in GRAPH.items() if room_of(m) == "display" for o in others if room_of(o) not in ("base", "display")] == []


def test_no_module_is_too_long():
    lengths = {name: len(path.read_text(encoding="utf-8").splitlines()) for name, path in MODULES.items()}
    assert {name: length for name, length in lengths.items() if length > MOST_LINES} == {}


def test_no_function_is_too_long():
    long = {}
    for name, path in MODULES.items():
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, (ast.FunctionDef, ast.AsyncFunctionDef)) and node.end_lineno - node.lineno + 1 > MOST_LINES_OF_A_FUNCTION:
                long[f"{name}.{node.name}"] = node.end_lineno - node.lineno + 1
    assert long == {}


@pytest.mark.parametrize(
    ("files", "circle", "arrow"),
    [
        ({"base/one.py": "import p.glossary.two", "glossary/two.py": ""}, False, True),
        ({"base/one.py": "def f():\n    from p.glossary import two\n", "glossary/two.py": ""}, False, True),
        ({"base/one.py": "def f():\n    from . import two\n", "base/two.py": "def f():\n    from .one import f\n"}, True, False),
        ({"base/one.py": "from p.base.two import x", "base/two.py": "from p.base.three import x", "base/three.py": "import p.base.one"}, True, False),
        ({"glossary/__init__.py": '_HOMES = {"find": "two"}', "glossary/two.py": "from p import glossary"}, True, False),
        ({"base/one.py": "from p import read"}, False, True),
        ({"base/one.py": "from typing import TYPE_CHECKING\nif TYPE_CHECKING:\n    from p.glossary import two\n", "glossary/two.py": "from p.base import one"}, False, False),
    ],
)
def test_the_walk_sees_what_it_should(tmp_path, files, circle, arrow):
    package = tmp_path / "p"
    for name, text in {"__init__.py": "", "base/__init__.py": "", "glossary/__init__.py": "", **files}.items():
        (package / name).parent.mkdir(parents=True, exist_ok=True)
        (package / name).write_text(text, encoding="utf-8")
    modules = modules_in(package)
    graph = {name: imports_of(name, path, modules) for name, path in modules.items()}
    assert bool(circles(graph)) is circle
    assert bool(upward(graph)) is arrow
