# Bradawl. `make run` sets up and serves; `make test` proves it. The rest is for contributors.

VENV := .venv
BIN := $(VENV)/bin
PYTHON ?= python3
WEB_BUILT := server/bradawl/bundled/web/index.html
FONTS_BUILT := server/bradawl/bundled/notices/fonts.json
WEB_SOURCES := $(shell find web server/bradawl/language/locales -type f -not -path '*/node_modules/*' -not -name '*.tsbuildinfo' 2>/dev/null)

TESTS := $(shell find tests -name '*.py')

.PHONY: run dev hooks test web-tests check check-style check-types check-generated check-web fmt build single-file bench proof mutants lock system clean

run: $(VENV)/run.stamp $(WEB_BUILT) $(FONTS_BUILT)
	$(BIN)/bradawl demo
	$(BIN)/bradawl serve

# Server and app behind one address; each starts anew when its code changes. Data of its own.
dev: $(VENV)/dev.stamp $(WEB_BUILT) $(FONTS_BUILT)
	export BRADAWL_DATA=$${BRADAWL_DATA:-$(CURDIR)/build/dev}; \
		$(BIN)/bradawl demo && cd web && npm run --silent dev

# From now on git runs `make check` before each commit of this clone.
hooks:
	git config core.hooksPath .ci/hooks

# Where Python is told to keep no bytecode, every worker and server would compile everything.
test: export PYTHONDONTWRITEBYTECODE =
test:
	$(MAKE) -j 3 system $(VENV)/dev.stamp $(WEB_BUILT) $(FONTS_BUILT)
	$(MAKE) -j 2 check web-tests build/tests/collected
	$(BIN)/python -m pytest -n 4 --dist loadgroup --no-loadscope-reorder

# Rewritten and compiled once: four workers that begin together would each do all of it.
build/tests/collected: $(VENV)/dev.stamp $(TESTS)
	$(BIN)/python -m pytest --collect-only -qq -n 0 > /dev/null
	mkdir -p $(@D) && touch $@

web-tests: $(WEB_BUILT)
	cd web && npm test

# Each part keeps one core busy: `make -j 2 check`.
check: check-style check-types check-generated check-web

check-style: $(VENV)/dev.stamp
	$(BIN)/ruff format --check .
	$(BIN)/ruff check .

check-types: $(VENV)/dev.stamp
	$(BIN)/mypy

check-generated: $(VENV)/dev.stamp $(WEB_BUILT) $(FONTS_BUILT)
	$(BIN)/python tests/judge/engines/subset.py server/bradawl/judge
	$(BIN)/python -m web.tools.contract --check
	$(BIN)/python -m web.tools.messages --check
	$(BIN)/python -m web.tools.published --check
	$(BIN)/python -m web.tools.units --check
	$(BIN)/python -m web.tools.design --check
	$(BIN)/python -m tests.language.strays

check-web: $(WEB_BUILT)
	cd web && npm run check

fmt: $(VENV)/dev.stamp web/node_modules/.stamp
	$(BIN)/ruff format .
	$(BIN)/ruff check --fix .
	$(BIN)/python -m web.tools.contract
	$(BIN)/python -m web.tools.messages
	$(BIN)/python -m web.tools.units
	$(BIN)/python -m web.tools.design
	cd web && npm run fmt

# One file that needs no Python, for this system: dist/bradawl.
single-file: $(VENV)/dev.stamp $(WEB_BUILT) $(FONTS_BUILT)
	$(BIN)/python server/release/single_file.py --out dist

build: $(VENV)/run.stamp $(WEB_BUILT) $(FONTS_BUILT)

bench: system $(VENV)/dev.stamp $(WEB_BUILT) $(FONTS_BUILT)
	set -e; for bench in tests/bench/bench_*.py; do \
		$(BIN)/python -m tests.bench.$$(basename $$bench .py); done

# Hours on two cores; what was seen is written to tests/proof/results.json.
proof: system $(VENV)/dev.stamp $(WEB_BUILT) $(FONTS_BUILT)
	$(BIN)/python -m tests.proof

# Small wrong changes of the code, each tried by the tests that call it; what lives on is named in
# build/bench/mutants.json. MUTANTS="server/bradawl/access --sample 100" tries others.
mutants: export PYTHONDONTWRITEBYTECODE =
mutants: $(VENV)/dev.stamp web/node_modules/.stamp
	nice $(BIN)/python -m tests.mutants $(MUTANTS)

lock: $(VENV)/dev.stamp
	$(BIN)/uv pip compile pyproject.toml --extra build --universal --generate-hashes --no-annotate \
		--custom-compile-command "make lock" --upgrade -q -o server/requirements.lock
	$(BIN)/uv pip compile pyproject.toml --extra dev --universal --generate-hashes --no-annotate \
		--custom-compile-command "make lock" --upgrade -q -c server/requirements.lock \
		-o server/requirements-dev.lock

# Debian's packages that the tests drive: a browser, a second PDF tool, a certificate store.
system:
	.ci/system

clean:
	rm -rf $(VENV) build dist web/node_modules server/bradawl/bundled

$(VENV)/bin/python:
	$(PYTHON) -m venv $(VENV)

$(VENV)/run.stamp: server/requirements.lock pyproject.toml | $(VENV)/bin/python
	$(BIN)/python -m pip install --quiet --require-hashes -r server/requirements.lock
	$(BIN)/python -m pip install --quiet --no-build-isolation --no-deps -e .
	touch $@

$(VENV)/dev.stamp: server/requirements-dev.lock $(VENV)/run.stamp
	$(BIN)/python -m pip install --quiet --require-hashes -r server/requirements-dev.lock
	touch $@

web/node_modules/.stamp: web/package-lock.json web/package.json
	cd web && npm ci --no-progress
	touch $@

$(WEB_BUILT): web/node_modules/.stamp $(WEB_SOURCES)
	cd web && npm run build
	touch $@

# The fonts of the report, from the packages that they come in.
$(FONTS_BUILT): server/build_fonts.py web/package-lock.json $(VENV)/run.stamp | web/node_modules/.stamp
	$(BIN)/python server/build_fonts.py
	touch $@
