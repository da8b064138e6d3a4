# make demo   installs what it needs, reports the demo, then opens the app on it (Ctrl-C ends it)
# make demo-report   the same without the app
# make test   installs what it needs, passes all checks and tests
# make quick  the tests of the inner loop: no browser, server, PDF or study
# make coverage   which branches of the packages that make numbers the tests take
# make mutants    plants 200 small faults in a copy, one at a time: how many the tests see
# make bench  speed, as ratios against a reference in the same run
# make study  the simulated studies behind docs/studies
# make torture   kills, fills, replaces, flips, floods and cuts the real server for a quarter of an hour
# make department   installs the driver of a department's database too
# make docs   the pages of docs/ as a site to read and search offline, in out/site
# make licenses, make advisories   renew the list of licenses; compare the locks with known faults
.DEFAULT_GOAL := demo
.PHONY: demo demo-report docs test quick coverage mutants bench study torture check system clean department licenses advisories

# The matrices of a fit are small: threads inside the linear algebra only get in each other's way.
export OPENBLAS_NUM_THREADS := 1

PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin
UV := $(shell command -v uv 2>/dev/null)
DEMO := examples/clean-pool-granules
# What is recorded in the app goes into a copy, so that the example stays as it is.
BENCH := demo
ARGS ?=
CI ?=

# The lock files name everything, so nothing is resolved: a test library asks for more than it uses.
define install
	@echo "Installing from $(1) into $(VENV) (the first time this takes a minute)"
	@if [ -n "$(UV)" ]; then \
	  { [ -x $(BIN)/python ] || $(UV) venv -q --python $(PYTHON) $(VENV); } && \
	  $(UV) pip install -q --python $(BIN)/python --no-deps --require-hashes --compile-bytecode -r $(1) && \
	  $(UV) pip install -q --python $(BIN)/python --no-deps --no-build-isolation -e . ; \
	else \
	  { [ -x $(BIN)/pip ] || $(PYTHON) -m venv $(VENV); } && \
	  $(BIN)/python -m pip install -q --disable-pip-version-check --no-deps --require-hashes -r $(1) && \
	  $(BIN)/python -m pip install -q --disable-pip-version-check --no-deps --no-build-isolation -e . ; \
	fi
	@touch $@
endef

$(VENV)/runtime: requirements.lock pyproject.toml
	$(call install,requirements.lock)

$(VENV)/testing: requirements-test.lock pyproject.toml
	$(call install,requirements-test.lock)

$(VENV)/docs: requirements-docs.lock $(VENV)/runtime
	$(call install,requirements-docs.lock)

docs: $(VENV)/docs
	@$(BIN)/sphinx-build -W --keep-going -q -b html -d out/site-read docs out/site
	@echo "Open out/site/index.html"

torture: $(VENV)/testing
	$(BIN)/python -m scripts.torture --page

department: requirements-department.lock
	$(call install,requirements-department.lock)

demo: demo-report
	@[ -e $(BENCH)/experiment.toml ] || $(BIN)/tarebook start $(BENCH) --like $(notdir $(DEMO)) > /dev/null
	@$(BIN)/tarebook bench $(BENCH) $(ARGS)

demo-report: $(VENV)/runtime
	@$(BIN)/tarebook reduce $(DEMO)
	@$(BIN)/tarebook report $(DEMO)

# LibreOffice recalculates the workbook in one test. Where the system's package manager may be
# used it is brought; elsewhere that one test is left out and says so. In CI nothing is left out.
system:
	@sh scripts/system-packages.sh $(if $(CI),required,wanted)

check: $(VENV)/testing
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .
	$(BIN)/mypy
	$(BIN)/lint-imports
	$(BIN)/python -m scripts.live
	@sh scripts/check-page-scripts.sh $(if $(CI),required,wanted)

test: $(VENV)/testing system check
	$(BIN)/pytest -q -n auto --dist loadfile

quick: $(VENV)/testing
	$(BIN)/pytest -q -n auto --dist loadfile --quick

coverage: $(VENV)/testing
	$(BIN)/python -m scripts.mutants --branches

mutants: $(VENV)/testing
	$(BIN)/python -m scripts.mutants $(ARGS)

bench: $(VENV)/testing
	$(BIN)/pytest -q -o addopts="--import-mode=importlib" --benchmark-only -s tests/bench

# The simulated studies behind the figures in docs/studies; each exits 1 if a bound is not met.
study: $(VENV)/testing
	$(BIN)/python scripts/study_joint_fit.py
	$(BIN)/python scripts/study_placement.py
	$(BIN)/python -m scripts.study_slips
	$(BIN)/python -m scripts.study_laboratories --page

licenses: $(VENV)/testing
	$(BIN)/python -m scripts.licenses

advisories: $(VENV)/testing
	$(BIN)/python -m scripts.advisories

clean:
	rm -rf $(VENV) .pytest_cache .mypy_cache .ruff_cache .hypothesis .benchmarks
