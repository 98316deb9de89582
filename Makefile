# Waterside's commands. Each works in a fresh clone with Python 3.11 and the package index.

PYTHON ?= python3
BIN := .venv/bin
PIP := --quiet --disable-pip-version-check --no-compile --require-hashes
UV := --quiet --python .venv --require-hashes
# A file's tests stay together: some share what is dear to make
CORES := -n auto --dist loadfile
PICTURES := tests/browser/test_pictures.py::test_the_pictures_of_every_role

.PHONY: demo serve test check mutate bench test-browser pictures test-postgres lock

## Try it: three invented plants with 120 days of rounds, at http://127.0.0.1:8000/
demo: .venv/.ok
	WATERSIDE_DEMO=1 WATERSIDE_DATA=var/demo exec $(BIN)/python manage.py start

## The real start: an empty store of your own, the first administrator set up in the browser
serve: .venv/.ok
	WATERSIDE_DEMO= WATERSIDE_DATA=$${WATERSIDE_DATA:-var/serve} exec $(BIN)/python manage.py start

## All tests that need nothing but Python
test: .venv/.checks
	$(BIN)/python -m pytest -q $(CORES) --ignore=tests/browser --ignore=tests/external --ignore=tests/bench

## Formatting, types, import contracts, migrations
check: .venv/.checks
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .
	$(BIN)/mypy
	$(BIN)/lint-imports
	$(BIN)/python manage.py makemigrations --check --dry-run
	$(BIN)/python manage.py check

## Change each number of the chemistry and its limits; a test must go red for every one
mutate: .venv/.checks
	$(BIN)/python -m tests.mutate

## Speed; quote ratios from one run
bench: .venv/.checks
	$(BIN)/python -m pytest -q tests/bench --benchmark-only

## Needs Chromium at /usr/bin/chromium
test-browser: .venv/.checks
	$(BIN)/python -m pytest -q $(CORES) tests/browser --deselect $(PICTURES)

## Take the handbook's pictures anew (needs Chromium)
pictures: .venv/.checks
	WATERSIDE_PICTURES=1 $(BIN)/python -m pytest -q $(PICTURES)

## Needs PostgreSQL; DATABASE_URL names a database that may be emptied. All but the demo and the
## kept stores, which never lie in one, and the API, which has no SQL of its own
test-postgres: .venv/.checks
	DATABASE_URL=$${DATABASE_URL:-postgresql:///test} \
	$(BIN)/python -m pytest -q $(CORES) tests/records tests/external \
	--ignore=tests/records/demo --ignore=tests/records/api --ignore=tests/records/test_upgrade.py

## Pin every dependency with its hashes again (needs uv)
lock:
	uv pip compile --python-version 3.11 --generate-hashes --no-strip-extras --no-emit-index-url -q --custom-compile-command "make lock" pyproject.toml -o requirements.txt
	uv pip compile --python-version 3.11 --generate-hashes --no-strip-extras --no-emit-index-url -q --custom-compile-command "make lock" pyproject.toml --extra tests -c requirements.txt -o tests/requirements.txt

# uv comes first and brings the rest; where it can't (a mirror that only pip is told of), pip does.
# Python compiles what is imported; compiling all that is installed would cost more than half of the wait.
.venv/.ok: requirements.txt
	$(PYTHON) -m venv .venv
	sed -n '/^uv==/,/# via/p' requirements.txt | $(BIN)/pip install $(PIP) -r /dev/stdin || true
	$(BIN)/uv pip install $(UV) -r requirements.txt || $(BIN)/pip install $(PIP) -r requirements.txt
	touch $@

.venv/.checks: .venv/.ok tests/requirements.txt
	$(BIN)/uv pip install $(UV) -r tests/requirements.txt || $(BIN)/pip install $(PIP) -r tests/requirements.txt
	touch $@
