# What there is to do with histkit: `make help` lists it. Each target first makes the environment .venv, or renews it where it is
# stale, with nothing but make, python3 and its venv module. Only that step needs the network, and only when something is missing.

VENV := .venv
OUT ?= out
LAB ?= lab
# The Python to build .venv with: make PYTHON=/path/to/python3.12 test
PYTHON ?=
# More words for the program behind a target: make test ARGS="-k reading"
ARGS ?=
# Workers that share the tests, by the file, so that the cells of a notebook and the fixtures of a module stay together: one more
# than processors, since many tests wait for a server, a kernel or a page.
WORKERS ?= $(shell echo $$(( $$(getconf _NPROCESSORS_ONLN 2>/dev/null || echo 1) + 1 )))

python := $(VENV)/bin/python
# Twice quiet: errors only.
pip := $(python) -m pip -qq --disable-pip-version-check install

# A PYTHONPATH meant for something else must not reach into .venv.
unexport PYTHONPATH
unexport PYTHONHOME

.DEFAULT_GOAL := help
.DELETE_ON_ERROR:
.SUFFIXES:
.PHONY: help demo lab pages test coverage bench fuzz faults lint wheel clean anew

help:
	@echo "make demo      take an invented receipt from printed words to bench sheet, tables and pictures, in $(OUT)/"
	@echo "make lab       put the notebooks into $(LAB)/ and open them in JupyterLab"
	@echo "make pages     the same as plain pages in a browser, without notebooks (adds the extra 'app')"
	@echo "make test      run the tests, notebooks included; those in a browser where there is a Chromium"
	@echo "make coverage  the share of histkit's lines and branches that the tests run through (some minutes; 95 % at least)"
	@echo "make bench     measure the speed"
	@echo "make fuzz      search for input that breaks histkit, two minutes for each door (needs the extra 'fuzz')"
	@echo "make faults    put faults in on purpose, one at a time, and say which of them the tests catch (an hour or so)"
	@echo "make lint      ruff and mypy"
	@echo "make wheel     build dist/histkit-*.whl and the source archive"
	@echo "make clean     remove .venv and everything made"
	@echo
	@echo "The first target called makes .venv (some minutes, needs the network once; the rest does not)."
	@echo "PYTHON=/path/to/python3 chooses the Python, OUT and LAB the folders, WORKERS=1 tests one file at a time,"
	@echo "ARGS='...' goes to the program behind the target."

demo: $(VENV)/.ready
	@$(VENV)/bin/histkit demo --out "$(OUT)" $(ARGS)

# The notebooks are put into a folder of the maker's own, and never over one that was changed there.
lab: $(VENV)/.ready
	@$(VENV)/bin/histkit lab "$(LAB)" $(ARGS)

pages: $(VENV)/.ready-app
	@$(VENV)/bin/histkit lab "$(LAB)" --app $(ARGS)

# Files are handed out in their order, the longest among the first; each worker holds one more in hand.
workers = -n $(WORKERS) --maxprocesses=4 --dist loadfile --no-loadscope-reorder -p no:benchmark
every_test = --nbval --nbval-current-env --nbval-cell-timeout=120 tests $(wildcard notebooks/*.ipynb)

test: $(VENV)/.ready-test
	@$(python) -m pytest $(workers) $(every_test) $(ARGS)

# The same tests, measured. What only a browser or a kernel that is killed at its end runs through is counted as not tested.
coverage: $(VENV)/.ready-test
	@$(python) -m coverage erase
	@$(python) -m coverage run -m pytest $(workers) $(every_test) $(ARGS)
	@$(python) -m coverage combine --quiet
	@$(python) -m coverage report

bench: $(VENV)/.ready-test
	@$(python) -m pytest --benchmark-only --benchmark-sort=name tests/benchmarks $(ARGS)

# Atheris has no wheel for every Python, so it is not installed unasked: without it the program says how to get it.
fuzz: $(VENV)/.ready-test
	@$(python) tests/fuzz/run.py $(ARGS)

faults: $(VENV)/.ready-test
	@$(python) tests/faults/run.py $(ARGS)

lint: $(VENV)/.ready-dev
	@$(python) -m ruff check .
	@$(python) -m mypy

wheel: $(VENV)/.ready-dev
	@rm -rf dist
	@$(python) -m build --outdir dist .

clean:
	rm -rf "$(VENV)" dist build "$(OUT)" .pytest_cache .mypy_cache .ruff_cache .hypothesis .benchmarks .fuzz
	find histkit tests .ci -name __pycache__ -type d -prune -exec rm -rf {} +

# --- the environment -------------------------------------------------------------------------------------------------------------
# .venv/.ready      histkit itself; enough for demo and lab
# .venv/.ready-*    and the packages of that extra
# They are older than pyproject.toml when it has changed: then pip brings .venv up to date. Where .venv cannot be used any more
# (its Python is gone, the folder was moved, another Python is asked for), it is made anew. .venv/.place says where it was made.

define stale_check
  [ -e "$(VENV)" ] || exit 0; \
  $(python) -c 'import pip' 2>/dev/null || { echo "it does not work any more"; exit 0; }; \
  [ ! -e "$(VENV)/.place" ] || [ "$$(cat "$(VENV)/.place")" = "$$(pwd -P)" ] || { echo "the folder was moved"; exit 0; }; \
  [ -z "$(PYTHON)" ] || [ "$$("$(PYTHON)" -VV 2>&1)" = "$$($(python) -VV)" ] || echo "another Python is asked for"
endef

define find_python
  set -- "$(PYTHON)"; [ -n "$$1" ] || set -- python3 python3.14 python3.13 python3.12 python3.11; \
  chosen=; bare=; old=; \
  for name in "$$@"; do \
    version=$$("$$name" -c 'import sys; print("%d.%d" % sys.version_info[:2])' 2>/dev/null) || continue; \
    "$$name" -c 'import sys; sys.exit(sys.version_info < (3, 11))' || { old="$$old $$name ($$version)"; continue; }; \
    "$$name" -c 'import ensurepip, venv' 2>/dev/null || { bare=$${bare:-$$name}; continue; }; \
    chosen=$$name; break; \
  done; \
  if [ -z "$$chosen" ] && [ -n "$$bare" ]; then \
    echo "$$bare has no venv module, which make needs. On Debian or Ubuntu: sudo apt-get install $$(basename "$$bare")-venv" >&2; \
    echo "Then call make again." >&2; exit 1; \
  elif [ -z "$$chosen" ] && [ -n "$$old" ]; then \
    echo "histkit needs Python 3.11 or newer, and found only:$$old." >&2; \
    echo "Install a newer one, or name it: make PYTHON=/path/to/python3.12 ..." >&2; exit 1; \
  elif [ -z "$$chosen" ]; then \
    echo "No Python answers to: $$*. On Debian or Ubuntu: sudo apt-get install python3 python3-venv" >&2; exit 1; \
  fi
endef

# The parts of JupyterLab that ask the network for news, newer versions and extensions, switched off in .venv alone.
offline_lab := {"disabledExtensions": {"@jupyterlab/apputils-extension:announcements": true, \
  "@jupyterlab/extensionmanager-extension:plugin": true}}

stale := $(shell $(stale_check))

$(VENV)/.ready: pyproject.toml $(if $(stale),anew)
	@[ -z "$(stale)" ] || { echo "Making $(VENV) anew: $(stale)."; rm -rf "$(VENV)"; }
	@[ -e "$(VENV)" ] || { $(find_python); echo "Making $(VENV) with $$chosen."; "$$chosen" -m venv "$(VENV)"; }
	@pwd -P > "$(VENV)/.place"
	@echo "Installing histkit into $(VENV) (a minute or two) ..."
	@$(pip) --editable .
	@mkdir -p "$(VENV)/etc/jupyter/labconfig"
	@echo '$(offline_lab)' > "$(VENV)/etc/jupyter/labconfig/page_config.json"
	@touch $@

$(VENV)/.ready-%: $(VENV)/.ready
	@echo "Installing what '$*' needs into $(VENV) ..."
	@$(pip) --editable '.[$*]'
	@touch $@
