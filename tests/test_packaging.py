"""What holds for the project as a whole: its imports, its version, its top level, and that it stays off the network."""

import ast
import csv
import fnmatch
import importlib.metadata
import importlib.util
import re
import subprocess
import sys
import tomllib
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest
from packaging.requirements import Requirement

import histkit

CHECKOUT = Path(__file__).resolve().parent.parent
PACKAGE = CHECKOUT / "histkit"
PROJECT = tomllib.loads((CHECKOUT / "pyproject.toml").read_text("utf-8"))["project"]

TOP_LEVEL = {
    *("README.md", "DEVELOPERS.md", "CHANGELOG.md", "LICENSE", "Makefile", "pyproject.toml", ".gitignore", ".ci"),
    *("histkit", "glossary", "notebooks", "tests"),
}
# Slow to load (0.1 to 1 s each), so loaded by the functions that use them.
HEAVY = {"matplotlib", "pandas", "ipywidgets", "pint", "IPython", "jupyterlab", "jupyter_server"}
NETWORK_MODULES = {"aiohttp", "ftplib", "http", "httpx", "requests", "smtplib", "socket", "urllib", "urllib3", "xmlrpc"}
# Calls that fetch when they are given an address.
READING_CALLS = re.compile(r"read_\w+|open|urlopen|urlretrieve|get|imread|fetch")
# An address that a page loads by itself. A link to a source that a reader may click is no fault.
LOADED_BY_A_PAGE = re.compile(
    r"""(?:\bsrc\s*=\s*|url\(\s*|@import\s+|<link[^>]*\bhref\s*=\s*)["']?\s*(?:https?:)?//""", re.IGNORECASE
)


def ignored_patterns() -> list[str]:
    lines = (CHECKOUT / ".gitignore").read_text("utf-8").splitlines()
    return [".git", *(line.strip("/") for line in lines if line and not line.startswith("#"))]


def project_files(folder: Path = CHECKOUT) -> Iterator[Path]:
    """The files of the project, without those that .gitignore names."""
    patterns = ignored_patterns()
    for path in sorted(folder.iterdir()):
        if any(fnmatch.fnmatchcase(path.name, pattern) for pattern in patterns):
            continue
        if path.is_dir():
            yield from project_files(path)
        else:
            yield path


@cache
def tree(path: Path) -> ast.Module:
    return ast.parse(path.read_text("utf-8"), str(path))


PYTHON_FILES = [path for path in project_files(PACKAGE) if path.suffix == ".py"]


def name_of(path: Path) -> str:
    return path.relative_to(CHECKOUT).as_posix()


def imports(path: Path) -> Iterator[tuple[str, int]]:
    """Each module that a file imports, anywhere in it, with the line; relative imports are left out."""
    for node in ast.walk(tree(path)):
        if isinstance(node, ast.Import):
            yield from ((alias.name, node.lineno) for alias in node.names)
        elif isinstance(node, ast.ImportFrom) and node.level == 0 and node.module:
            yield node.module, node.lineno


def test_importing_histkit_loads_nothing_heavy() -> None:
    probe = f"import sys, histkit; print(*sorted({HEAVY!r} & set(sys.modules)))"
    answer = subprocess.run([sys.executable, "-c", probe], cwd=CHECKOUT, capture_output=True, text=True, check=True)
    assert answer.stdout.split() == []


def core_modules() -> list[str]:
    """Every module but the panels, which are ipywidgets through and through, and the part of a server that it alone loads."""
    names = (path.relative_to(CHECKOUT).with_suffix("").parts for path in PYTHON_FILES)
    modules = (".".join(parts[:-1] if parts[-1] == "__init__" else parts) for parts in names)
    return [module for module in modules if not re.match(r"histkit\.(panels|shell\.kernels)|.*__main__", module)]


def test_no_core_module_loads_anything_heavy() -> None:
    probe = (
        "import importlib, sys\n"
        f"for name in {core_modules()!r}:\n"
        "    importlib.import_module(name)\n"
        f"    heavy = {HEAVY!r} & set(sys.modules)\n"
        "    if heavy:\n"
        "        sys.exit(f'importing {name} loads {sorted(heavy)}')\n"
    )
    answer = subprocess.run([sys.executable, "-c", probe], cwd=CHECKOUT, capture_output=True, text=True, check=False)
    assert answer.returncode == 0, answer.stderr


def test_one_version() -> None:
    assert histkit.__version__ == PROJECT["version"]
    literals = [
        node.value.value
        for node in tree(PACKAGE / "__init__.py").body
        if isinstance(node, ast.Assign) and ast.unparse(node.targets[0]) == "__version__" and isinstance(node.value, ast.Constant)
    ]
    assert literals == [PROJECT["version"]]


def test_the_changelog_tells_of_this_version() -> None:
    assert PROJECT["version"] in (CHECKOUT / "CHANGELOG.md").read_text("utf-8")


def test_top_level_is_as_designed() -> None:
    patterns = ignored_patterns()
    there = {path.name for path in CHECKOUT.iterdir() if not any(fnmatch.fnmatchcase(path.name, pattern) for pattern in patterns)}
    assert there == TOP_LEVEL


@pytest.mark.parametrize("path", PYTHON_FILES, ids=name_of)
def test_no_module_reaches_for_the_network(path: Path) -> None:
    reached = [f"{name_of(path)}:{line} imports {name}" for name, line in imports(path) if name.split(".")[0] in NETWORK_MODULES]
    for node in ast.walk(tree(path)):
        if isinstance(node, ast.Call) and READING_CALLS.fullmatch(ast.unparse(node.func).rpartition(".")[2]):
            reached += [
                f"{name_of(path)}:{node.lineno} fetches {value.value}"
                for value in [*node.args, *(keyword.value for keyword in node.keywords)]
                if isinstance(value, ast.Constant) and isinstance(value.value, str) and re.match(r"https?://", value.value)
            ]
    assert reached == []


def test_no_page_of_ours_loads_from_the_network() -> None:
    folders = (PACKAGE, CHECKOUT / "notebooks")
    loading = [
        f"{name_of(path)}: {address}"
        for folder in folders
        for path in project_files(folder)
        for address in LOADED_BY_A_PAGE.findall(path.read_text("utf-8", errors="replace"))
    ]
    assert loading == []


OPTIONAL = {
    "corpus": ("dask", "distributed", "pyarrow"),
    "app": ("voila",),
    "film": ("av",),
    "spectra": ("colour-science",),
}
"""What an extra brings, and what the code that uses it must do without."""
COMES_WITH = {"jupyter-core": "jupyterlab", "jupyter-server": "jupyterlab", "tornado": "jupyterlab"}
"""Packages used where the package that brings them is used."""


def distribution(requirement: str) -> str:
    """'pint>=0.24' → 'pint', in the one spelling of names."""
    return re.sub(r"[-_.]+", "-", re.split(r"[^\w.-]", requirement)[0].lower())


def test_every_package_imported_is_declared() -> None:
    declared = {distribution(requirement) for requirement in PROJECT["dependencies"]}
    declared |= {name for names in OPTIONAL.values() for name in names} | COMES_WITH.keys()
    providers = importlib.metadata.packages_distributions()
    undeclared = {
        f"{name_of(path)}:{line} imports {name}"
        for path in PYTHON_FILES
        for name, line in imports(path)
        if (top := name.split(".")[0]) not in sys.stdlib_module_names | {"histkit"}
        and not set(map(distribution, providers.get(top, []))) & declared
    }
    assert undeclared == set()


def test_the_extras_bring_what_is_optional() -> None:
    extras = {name: set(map(distribution, wanted)) for name, wanted in PROJECT["optional-dependencies"].items()}
    assert all(set(names) == extras[extra] for extra, names in OPTIONAL.items())


def brought(requirements: list[str]) -> set[str]:
    """What pip installs for `requirements`, through and through, with these versions on this machine."""
    waiting, names = [(Requirement(text), "") for text in requirements], set()
    seen = set()
    while waiting:
        requirement, extra = waiting.pop()
        if requirement.marker and not requirement.marker.evaluate({"extra": extra}):
            continue
        name = distribution(requirement.name)
        names.add(name)
        for inner in (requirement.extras or {""}) | {""}:
            if (name, inner) not in seen:
                seen.add((name, inner))
                waiting += [(Requirement(text), inner) for text in importlib.metadata.requires(name) or ()]
    return names


def test_the_default_install_brings_nothing_heavy_for_one_small_use() -> None:
    """Together they were 313 MB of 838."""
    default = brought(PROJECT["dependencies"])
    assert {"pandas", "tornado", "jupyter-server", "ipykernel"} <= default, "the walk reaches what is asked for indirectly"
    assert not default & {"pyarrow", "scipy", "dask", "distributed"}
    assert "pyarrow" in brought(PROJECT["optional-dependencies"]["corpus"])


def test_no_file_tells_of_the_workshop() -> None:
    """The project stands alone: it names no folder and no paper of the place where it was written."""
    # Put together from parts, or this file would be the first to be found.
    traces = ["/work" + "/shared", "/work" + "/main", "/tmp" + "/brief", "../" + "shared", "seed" + " document"]
    left = [
        f"{name_of(path)}: {trace}" for path in project_files() for trace in traces if trace.encode() in path.read_bytes().lower()
    ]
    assert left == []


def budget():
    """The module that compares benchmarks with the budget; `make bench` loads it as a plug-in."""
    place = Path(__file__).parent / "benchmarks" / "conftest.py"
    spec = importlib.util.spec_from_file_location("budget", place)
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def test_the_budget_of_speed_names_benchmarks_that_exist():
    there = "".join(path.read_text(encoding="utf-8") for path in (Path(__file__).parent / "benchmarks").glob("test_*.py"))
    with budget().BUDGET.open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    named = {name.partition("[")[0] for row in rows for name in (row["benchmark"], row["yardstick"]) if name}
    assert len(rows) >= 7 and all(f"def {name}(" in there for name in named)


def test_a_broken_share_of_the_budget_fails_and_seconds_are_only_told():
    pint, picture, bare = "test_import[import pint]", "test_table_picture", "test_yardstick_bare_matplotlib_table"
    times = {"test_import[import histkit]": 0.6, pint: 1.0, picture: 1.4, bare: 1.0, "test_find_zinc_as_a_whole_process": 9.0}
    verdicts = {what: (kept, must) for what, _, _, kept, must in budget().compared(times)}
    assert verdicts == {
        "import histkit": (False, True),
        "the table as a 4K picture": (True, True),
        "histkit find zinc, the whole process": (False, False),
    }
