# Everything a developer runs, each with one word. The first use builds the environment in .venv.

PYTHON ?= python3
VENV ?= .venv
BIN := $(VENV)/bin
DEMO ?= demo-study

.PHONY: demo test test-fast bench lint format clean

demo: $(VENV)/.runs
	rm -rf $(DEMO)
	$(BIN)/tameshi demo $(DEMO)

test: $(VENV)/.develops
	$(BIN)/python -m pytest -n auto

bench: $(VENV)/.develops
	$(BIN)/python -m benchmarks

lint: $(VENV)/.develops
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .
	$(BIN)/mypy

format: $(VENV)/.develops
	$(BIN)/ruff check --fix .
	$(BIN)/ruff format .

clean:
	rm -rf $(VENV) $(DEMO) build dist

$(VENV)/.made:
	@$(PYTHON) -c 'import sys; sys.exit(0 if (3, 11) <= sys.version_info < (3, 14) else 1)' || \
	  { echo "tameshi needs Python 3.11, 3.12 or 3.13; name one: make PYTHON=python3.12 ..."; exit 2; }
	$(PYTHON) -m venv $(VENV)
	@touch $@

# PYTHONDONTWRITEBYTECODE may be set: byte code is written here once, so that commands start quickly
$(VENV)/.runs: $(VENV)/.made pyproject.toml constraints.txt
	$(BIN)/python -m pip install --quiet --disable-pip-version-check -c constraints.txt -e '.[video]'
	$(BIN)/python -m compileall -q src
	@touch $@

$(VENV)/.develops: $(VENV)/.made pyproject.toml constraints.txt
	$(BIN)/python -m pip install --quiet --disable-pip-version-check -c constraints.txt -e '.[dev]'
	$(BIN)/python -m compileall -q src
	@touch $@ $(VENV)/.runs
