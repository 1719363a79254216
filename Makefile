# make demo    install into .venv and run the demonstration
# make test    every test                     make check      style, types, layers
# make bench   ratios of speed                make soak       what runs longer than a minute
# make docs    write the generated pages      make docs-check are they up to date?
# make pictures  take the pictures of the page in docs/pictures anew
# make lock    resolve the locks anew         make lock-check are they what pyproject asks for?

PYTHON = .venv/bin/python
# One thread a process: the tests already use every core.
ONE_THREAD = OMP_NUM_THREADS=1 OPENBLAS_NUM_THREADS=1 MKL_NUM_THREADS=1

.PHONY: demo install install-test test check bench soak docs docs-check pictures lock lock-check clean

demo: install
	@# Exit 1 is an answer too: the demonstration shows a part to look at.
	.venv/bin/rafterstay demo -o demo-out --force || [ $$? = 1 ]
	@echo "The results are in demo-out/ of this folder. Your own job: .venv/bin/rafterstay --help"

install: .venv/installed
install-test: .venv/installed-test

.venv/bin/python:
	python=$$(tools/ready.sh python) && { "$$python" -m venv .venv || { rm -rf .venv; exit 1; }; }

.venv/installed: requirements.lock pyproject.toml src/rafterstay/__init__.py | .venv/bin/python
	$(PYTHON) -m pip install --quiet --disable-pip-version-check \
		--require-hashes --no-deps -r requirements.lock
	$(PYTHON) -m pip install --quiet --disable-pip-version-check \
		--no-index --no-build-isolation --no-deps -e .
	@touch $@

.venv/installed-test: requirements-test.lock .venv/installed
	tools/ready.sh test
	$(PYTHON) -m pip install --quiet --disable-pip-version-check \
		--require-hashes --no-deps -r requirements-test.lock
	@touch $@

test: install-test
	$(ONE_THREAD) $(PYTHON) -m pytest -q -n 2

check: install-test
	.venv/bin/ruff check
	.venv/bin/ruff format --check
	.venv/bin/mypy
	.venv/bin/lint-imports

bench: install-test
	$(ONE_THREAD) $(PYTHON) -m benchmarks

soak: install-test
	$(ONE_THREAD) $(PYTHON) -m pytest -q -m soak

docs: install
	$(PYTHON) tools/docs.py
	$(PYTHON) tools/contact.py

docs-check: install
	$(PYTHON) tools/docs.py --check

pictures: install-test
	RAFTERSTAY_PICTURES=1 $(ONE_THREAD) $(PYTHON) -m pytest -q tests/browser/test_pictures.py

lock: | .venv/bin/python
	$(PYTHON) tools/lock.py

lock-check: | .venv/bin/python
	$(PYTHON) tools/lock.py --check

clean:
	rm -rf .venv demo-out
