# groundroll: make demo | make test | make lint | make bench | make lock
PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin
PIP := $(BIN)/python -m pip --disable-pip-version-check --quiet

.PHONY: demo test lint bench lock clean

demo: $(VENV)/.run
	@mkdir -p out
	@echo '$$ groundroll land examples/wet-gusty-arrival/case.toml'
	@$(BIN)/groundroll land examples/wet-gusty-arrival/case.toml
	@echo
	@echo '$$ groundroll brief examples/wet-gusty-arrival/case.toml -o out/brief.pdf'
	@$(BIN)/groundroll brief examples/wet-gusty-arrival/case.toml -o out/brief.pdf
	@echo 'The brief lies in out/brief.pdf.'

test: lint
	NUMBA_DISABLE_JIT=1 $(BIN)/python -m pytest -m plain
	$(BIN)/python -m pytest

lint: $(VENV)/.test
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .
	$(BIN)/mypy

bench: $(VENV)/.test
	$(BIN)/python -m benchmarks.rolls
	$(BIN)/python -m benchmarks.accuracy
	$(BIN)/python -m benchmarks.decision
	$(BIN)/python -m benchmarks.reject
	$(BIN)/python -m benchmarks.turn
	$(BIN)/python -m benchmarks.uncertainty

lock: $(VENV)/.run
	$(PIP) install uv
	$(BIN)/uv pip compile pyproject.toml --extra build --universal --python-version 3.11 --no-header \
	  --no-emit-index-url --no-annotate --generate-hashes --quiet -o requirements.lock
	$(BIN)/uv pip compile pyproject.toml --extra build --extra test --universal --python-version 3.11 --no-header \
	  --no-emit-index-url --no-annotate --generate-hashes --quiet -c requirements.lock -o requirements-test.lock

$(VENV)/bin/python:
	$(PYTHON) -m venv $(VENV)

$(VENV)/.run: $(VENV)/bin/python requirements.lock pyproject.toml
	@echo 'Installing groundroll into $(VENV) ...'
	@$(PIP) install -r requirements.lock
	@$(PIP) install --no-deps --no-build-isolation -e .
	@touch $@

$(VENV)/.test: $(VENV)/.run requirements-test.lock
	@$(PIP) install -r requirements-test.lock
	@touch $@

clean:
	rm -rf $(VENV) out .mypy_cache .ruff_cache .pytest_cache .hypothesis
