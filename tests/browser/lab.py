"""A JupyterLab and a browser of our own, for browser tests and the speed bench.

Nothing here writes to the repository: the server works on a temporary copy of the lessons, and keeps its
settings in a temporary folder too.  It listens on a free loopback port, wants a token, and is ended by its
process id.
"""

import contextlib
import json
import os
import re
import secrets
import shutil
import socket
import subprocess
import sys
import tempfile
import time
import urllib.request
from collections.abc import Iterator
from pathlib import Path

from playwright.sync_api import Page, sync_playwright

NOTEBOOKS = Path(__file__).resolve().parents[2] / "notebooks"
BROWSER_NAMES = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable", "chrome", "msedge")
BROWSER_PATHS = (
    "/Applications/Google Chrome.app/Contents/MacOS/Google Chrome",
    "/Applications/Chromium.app/Contents/MacOS/Chromium",
    "/Applications/Microsoft Edge.app/Contents/MacOS/Microsoft Edge",
    r"C:\Program Files\Google\Chrome\Application\chrome.exe",
    r"C:\Program Files (x86)\Google\Chrome\Application\chrome.exe",
    r"C:\Program Files (x86)\Microsoft\Edge\Application\msedge.exe",
)
# The tests need nothing from outside this machine: keep the browser from trying.
BROWSER_FLAGS = (
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)


def find_browser() -> str | None:
    """Path of a Chromium-like browser, or None; the variable MIXING_WORKBOOK_BROWSER goes first."""
    if chosen := os.environ.get("MIXING_WORKBOOK_BROWSER"):
        return chosen
    found = (shutil.which(name) for name in BROWSER_NAMES)
    return next((path for path in found if path), None) or next(
        (path for path in BROWSER_PATHS if Path(path).exists()), None
    )


@contextlib.contextmanager
def open_page(server: "LabServer") -> Iterator[Page]:
    """JupyterLab in a headless browser, closed at the end.

    All lessons are opened in this one page, one after the other, as readers do: loading the page takes longer
    than running a lesson.
    """
    flags = list(BROWSER_FLAGS)
    if hasattr(os, "geteuid") and os.geteuid() == 0:
        flags.append("--no-sandbox")
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=find_browser(), args=flags)
        try:
            page = browser.new_page()
            page.goto(f"{server.url}/lab?token={server.token}&reset")
            page.wait_for_function("!!window.jupyterapp")
            page.evaluate("async () => { await jupyterapp.restored }")
            yield page
        finally:
            browser.close()


class LabServer:
    """JupyterLab on a temporary copy of the lessons.  Use as a context manager.

    Parameters
    ----------
    start_seconds : float
        How long the server may take to answer, in s.
    """

    def __init__(self, start_seconds: float = 120):
        self.home = Path(tempfile.mkdtemp(prefix="lab-"))
        self.notebooks = self.home / "notebooks"
        self.token = secrets.token_hex(16)
        self.start_seconds = start_seconds
        self.port = _free_port()
        self._process: subprocess.Popen | None = None

    @property
    def url(self) -> str:
        """Where the server answers."""
        return f"http://127.0.0.1:{self.port}"

    def __enter__(self) -> "LabServer":
        ignored = shutil.ignore_patterns("my_models", ".ipynb_checkpoints", ".*")
        shutil.copytree(NOTEBOOKS, self.notebooks, ignore=ignored)
        for path in self.notebooks.glob("*.ipynb"):
            self.add(path)
        settings = self.home / "settings" / "@jupyterlab" / "apputils-extension"
        settings.mkdir(parents=True)
        quiet = {"fetchNews": "false", "checkForUpdates": False}
        (settings / "notification.jupyterlab-settings").write_text(json.dumps(quiet))
        in_turn = {"commsOverSubshells": "disabled"}  # as the workbook's own page has it
        (settings / "kernels-settings.jupyterlab-settings").write_text(json.dumps(in_turn))
        environment = os.environ | {
            "JUPYTER_TOKEN": self.token,
            "JUPYTER_CONFIG_DIR": str(self.home / "config"),
            "JUPYTER_RUNTIME_DIR": str(self.home / "runtime"),
            "JUPYTERLAB_SETTINGS_DIR": str(self.home / "settings"),
            "MIXING_WORKBOOK_MODELS": str(self.home / "models"),
            "JUPYTERLAB_WORKSPACES_DIR": str(self.home / "workspaces"),
        }
        command = [sys.executable, "-m", "jupyterlab", "--no-browser", "--allow-root", "--ip=127.0.0.1"]
        command += [
            "--expose-app-in-browser",
            f"--port={self.port}",
            "--ServerApp.port_retries=0",
            f"--ServerApp.root_dir={self.notebooks}",
        ]
        self._log = (self.home / "server.log").open("w")
        self._process = subprocess.Popen(
            command, env=environment, stdin=subprocess.DEVNULL, stdout=self._log, stderr=subprocess.STDOUT
        )
        try:
            self._wait_until_up()
        except BaseException:
            self.close()
            raise
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def close(self) -> None:
        """End the server, by its process id, and remove its folder.  The server ends its kernels itself."""
        if self._process is not None:
            self._process.terminate()
            try:
                self._process.wait(20)
            except subprocess.TimeoutExpired:
                self._process.kill()
                self._process.wait()
            self._log.close()
        shutil.rmtree(self.home, ignore_errors=True)

    def add(self, notebook: Path, name: str | None = None, only: str = "", before: str = "") -> str:
        """Put a notebook on the server, without its stored outputs: what is then seen comes from this run.

        Parameters
        ----------
        notebook : Path
            The file.
        name : str, optional
            Name of the copy; left out, the file's own.
        only : str
            A regular expression: cells in which it is not found are left out.
        before : str
            Code that is run first, in a cell of its own.

        Returns
        -------
        str
            The name to open it by.
        """
        content = json.loads(notebook.read_text(encoding="utf-8"))
        content["cells"] = [cell for cell in content["cells"] if re.search(only, "".join(cell["source"]))]
        if before:
            content["cells"].insert(
                0, {"cell_type": "code", "id": "before", "metadata": {}, "source": before}
            )
        for cell in content["cells"]:
            if cell["cell_type"] == "code":
                cell["outputs"], cell["execution_count"] = [], None
        copy = self.notebooks / (name or notebook.name)
        copy.write_text(json.dumps(content), encoding="utf-8")
        return copy.name

    def stop_kernels(self) -> None:
        """End all kernels, so that one lesson's memory and processor time do not weigh on the next."""
        for kernel in json.loads(self._ask("api/kernels")):
            self._ask(f"api/kernels/{kernel['id']}", "DELETE")

    def _ask(self, path: str, method: str = "GET") -> bytes:
        request = urllib.request.Request(
            f"{self.url}/{path}", method=method, headers={"Authorization": f"token {self.token}"}
        )
        with urllib.request.urlopen(request, timeout=20) as answer:
            return answer.read()

    def _wait_until_up(self) -> None:
        end = time.monotonic() + self.start_seconds
        while time.monotonic() < end:
            if self._process.poll() is not None:
                break
            try:
                self._ask("api/status")
                return
            except OSError:
                time.sleep(0.2)
        log = (self.home / "server.log").read_text()
        raise RuntimeError(f"JupyterLab did not start within {self.start_seconds:.0f} s:\n{log[-3000:]}")


def _free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return probe.getsockname()[1]
