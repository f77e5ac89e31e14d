#!/usr/bin/env python3
"""Prints constraints for pip under which the lowest versions are installed that pyproject.toml allows.

    python .ci/lowest.py > lowest.txt; python -m pip install --constraint lowest.txt '.[test]'

Only what histkit itself asks for is held to its lower bound (the dependencies and the extras `app` and `corpus`); what those
ask for in their turn, and the tools of the tests, are the newest that fit.
"""

import re
import tomllib
from pathlib import Path

PROJECT = tomllib.loads((Path(__file__).resolve().parent.parent / "pyproject.toml").read_text("utf-8"))["project"]
EXTRAS = PROJECT["optional-dependencies"]

for requirement in (*PROJECT["dependencies"], *EXTRAS["app"], *EXTRAS["corpus"]):
    name, lowest = re.fullmatch(r"([\w.-]+)>=([\w.]+)", requirement).groups()  # each has a lower bound and no other
    print(f"{name}=={lowest}")
