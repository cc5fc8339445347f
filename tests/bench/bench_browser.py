"""From key press to painted picture: a lesson's panels against a trivial picture in the same run.

    python tests/bench/bench_browser.py [LESSON] [--times 20]

LESSON is the beginning of a lesson's file name (default 03).  A cell with the simplest live picture there can
be, one slider and one circle, is put at the end of a copy of the lesson, so that browser, kernel and machine
are the same.
Printed for each panel with a slider: the median of the presses, and its ratio to the trivial picture's.
"""

import argparse
import json
import statistics
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT / "tests" / "browser"))

from lab import LabServer, open_page  # noqa: E402
from lesson import Lesson  # noqa: E402
from playwright.sync_api import Locator  # noqa: E402

TRIVIAL = """
import ipywidgets as _w
_slider, _page = _w.FloatSlider(description="trivial", min=-1, max=1, step=0.05), _w.HTML()
def _draw(_=None):
    x = 200 + 150 * _slider.value
    _page.value = f'<svg width="400" height="80"><circle cx="{x:.1f}" cy="40" r="20"/></svg>'
_slider.observe(_draw, "value")
_draw()
_w.VBox([_slider, _page])
"""


def with_trivial_panel(lesson: Path, folder: Path) -> Path:
    """Write a copy of a lesson that ends with the trivial panel."""
    content = json.loads(lesson.read_text(encoding="utf-8"))
    cell = {"cell_type": "code", "id": "trivial", "metadata": {}, "source": TRIVIAL.strip()}
    content["cells"].append(cell | {"outputs": [], "execution_count": None})
    copy = folder / lesson.name
    copy.write_text(json.dumps(content), encoding="utf-8")
    return copy


def label_of_first_slider(panel: Locator) -> str | None:
    """The label of a panel's first slider."""
    labels = panel.locator(".widget-slider .widget-label").all_text_contents()
    return next((label for label in labels if label.strip()), None)


def main() -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("lesson", nargs="?", default="03")
    parser.add_argument("--times", type=int, default=20)
    given = parser.parse_args()
    lesson = next(iter(sorted((ROOT / "notebooks").glob(f"{given.lesson}*.ipynb"))), None)
    if lesson is None:
        parser.error(f"no lesson begins with {given.lesson!r}")
    with tempfile.TemporaryDirectory() as folder, LabServer() as server, open_page(server) as page:
        opened = Lesson(page, server, server.add(with_trivial_panel(lesson, Path(folder))))
        opened.run_all()
        panels = [(label, panel) for panel in opened.panels() if (label := label_of_first_slider(panel))]
        # Twice, before and after the others: how far the two differ tells how still the machine was.
        trivial = panels.pop()[1]
        floors = [opened.key_to_picture_median_ms(trivial, "trivial", given.times)]
        measured = [
            (
                opened.title(panel),
                label,
                opened.key_to_picture_median_ms(panel, label, given.times),
            )
            for label, panel in panels
        ]
        floors.append(opened.key_to_picture_median_ms(trivial, "trivial", given.times))
    floor = statistics.mean(floors)
    print(f"{lesson.name}: key press to painted picture, median of {given.times}")
    print(f"  trivial picture: {floors[0]:.0f} ms before, {floors[1]:.0f} ms after the others")
    for title, label, median in measured:
        print(f"  {title} ({label}): {median:.0f} ms, {median / floor:.2f} times the trivial picture's")


if __name__ == "__main__":
    main()
