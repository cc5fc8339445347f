"""Run lessons in place and leave them clean: `python tests/notebooks/execute.py NOTEBOOK...` (all if none).

Each notebook is run from top to bottom in a fresh kernel, in its own folder, with an empty folder for the
reader's own models.  What is written back holds the outputs and nothing else that changes from one run to the
next: no widget state, no time stamps, stable cell ids.  A panel's output keeps its plain text only.
A lesson that raises, warns or prints to stderr is reported and not written.
"""

import argparse
import os
import sys
import tempfile
from pathlib import Path

import nbformat
from nbclient import NotebookClient
from nbclient.exceptions import CellExecutionError

NOTEBOOKS = Path(__file__).resolve().parents[2] / "notebooks"
WIDGET_VIEW = "application/vnd.jupyter.widget-view+json"


def clean(notebook: nbformat.NotebookNode) -> nbformat.NotebookNode:
    """Strip, in place, all that a run leaves behind except outputs and execution counts."""
    notebook.metadata = nbformat.from_dict(
        {
            "kernelspec": {"display_name": "Python 3", "language": "python", "name": "python3"},
            "language_info": {"name": "python"},
        }
    )
    notebook.nbformat, notebook.nbformat_minor = 4, 5
    for number, cell in enumerate(notebook.cells):
        cell.id = f"cell-{number:02d}"
        folded, tags = cell.metadata.get("jupyter", {}).get("source_hidden"), cell.metadata.get("tags")
        kept = ({"jupyter": {"source_hidden": True}} if folded else {}) | ({"tags": tags} if tags else {})
        cell.metadata = nbformat.from_dict(kept)
        for output in cell.get("outputs", []):
            output.get("data", {}).pop(WIDGET_VIEW, None)
            if "metadata" in output:
                output.metadata = nbformat.from_dict({})
    return notebook


def run(path: Path, timeout: float = 120) -> list[str]:
    """Execute one notebook and write it back.

    Returns
    -------
    list of str
        What is wrong with it; if anything is, nothing is written.
    """
    notebook = nbformat.read(path, as_version=4)
    for cell in notebook.cells:
        if cell.cell_type == "code":
            cell.outputs, cell.execution_count = [], None
    client = NotebookClient(
        notebook,
        timeout=timeout,
        kernel_name="python3",
        resources={"metadata": {"path": str(path.parent)}},
        store_widget_state=False,
        extra_arguments=["--IPKernelApp.log_level=40"],
    )
    with tempfile.TemporaryDirectory() as models:
        try:
            own = {"MIXING_WORKBOOK_MODELS": models, "MIXING_WORKBOOK_ALL_ANSWERED": "yes"}
            client.execute(env=os.environ | own)
        except CellExecutionError as error:
            return [f"{path.name}: a cell raised\n{error}"]
    problems = [
        f"{path.name}, cell {number}: {output.text}"
        for number, cell in enumerate(notebook.cells)
        for output in cell.get("outputs", [])
        if output.output_type == "stream" and output.name == "stderr"
    ]
    if not problems:
        nbformat.write(clean(notebook), path)
    return problems


def main() -> int:
    """Run the notebooks named on the command line."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument(
        "notebook", nargs="*", help="path, or the beginning of a lesson's file name such as 03"
    )
    names = parser.parse_args().notebook
    paths: list[Path] = []
    for name in names or [""]:
        found = [Path(name)] if name.endswith(".ipynb") else sorted(NOTEBOOKS.glob(f"{name}*.ipynb"))
        if not found:
            parser.error(f"no lesson begins with {name!r} in {NOTEBOOKS}")
        paths += found
    failed = 0
    for path in paths:
        problems = run(path)
        failed += bool(problems)
        print(f"{path.name}: {'ran, written' if not problems else 'NOT written'}")
        for problem in problems:
            print(problem, file=sys.stderr)
    return min(failed, 1)


if __name__ == "__main__":
    sys.exit(main())
