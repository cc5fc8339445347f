"""What holds for every test: the reader's own models stay out of it, and nothing opens a window."""

import os
import tempfile

import hypothesis
import pytest
from lab import find_browser

os.environ["MPLBACKEND"] = "Agg"
# The matrices here are small: more threads only keep each other waiting, at the cost of processor time.
os.environ["OPENBLAS_NUM_THREADS"] = "1"
# The lessons' kernels inherit this: they see an empty folder, never what a reader has saved.
_models = tempfile.TemporaryDirectory(prefix="models-")
os.environ["MIXING_WORKBOOK_MODELS"] = _models.name
# What answers a question is there at once, so that all of a lesson is compared.
os.environ["MIXING_WORKBOOK_ALL_ANSWERED"] = "yes"

# Times differ from machine to machine: no deadline.
hypothesis.settings.register_profile("fixed", deadline=None, derandomize=True)
hypothesis.settings.register_profile("fresh", deadline=None, database=None, print_blob=True)


def pytest_configure(config: pytest.Config) -> None:
    """Choose the examples of property tests, and who runs the lessons."""
    # The same examples each time, so that no run fails by chance; others if a seed is given.
    seed = config.getoption("--hypothesis-seed")
    hypothesis.settings.load_profile("fixed" if seed is None else "fresh")
    # Each lesson is run once: by the browser tests, which also compare what it prints with what is stored in
    # it; by nbval where there is no browser, or where the lessons alone are asked for.
    if {"tests", "notebooks"} <= set(config.args) and find_browser():
        config.args.remove("notebooks")


def pytest_unconfigure() -> None:
    """Remove the folder that stood in for the reader's."""
    _models.cleanup()
