"""What holds for every test: the reader's own models stay out of it, and nothing opens a window."""

import os
import tempfile

import hypothesis
import matplotlib

matplotlib.use("Agg")
# The lessons' kernels inherit this: they see an empty folder, never what a reader has saved.
_models = tempfile.TemporaryDirectory(prefix="models-")
os.environ["MIXING_WORKBOOK_MODELS"] = _models.name

# Times differ from machine to machine: no deadline.  In continuous integration the examples never change.
hypothesis.settings.register_profile("workbook", deadline=None)
hypothesis.settings.register_profile("workbook-ci", deadline=None, derandomize=True, print_blob=True)
hypothesis.settings.load_profile("workbook-ci" if os.environ.get("CI") else "workbook")


def pytest_unconfigure() -> None:
    """Remove the folder that stood in for the reader's."""
    _models.cleanup()
