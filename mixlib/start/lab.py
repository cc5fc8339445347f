"""The server that shows the lessons: on this machine alone, with its own password, ended with the page."""

from __future__ import annotations

import json
import os
import secrets
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
import webbrowser
from pathlib import Path
from typing import Any

__all__ = ["Lab", "show"]

_PAGE = Path(__file__).parent / "page"
_ASK_EVERY_S = 2.0
_LEFT_AFTER = 30  # times asked without a page; a reload takes less
# What a kernel does while its page is still being opened.
_EARLY = "import mixlib.panel.form.desk, mixlib.panel.surfaces\ndel mixlib\n"
_SERVER_PARTS = {
    "jupyterlab": True,
    "jupyter_lsp": False,
    "jupyter_server_terminals": False,
    "notebook_shim": False,
    "voila.server_extension": False,
}


class Lab:
    """JupyterLab on a folder of lessons.  Use as a context manager.

    Parameters
    ----------
    lessons : Path
        Folder that is shown.
    models : Path
        Folder of the reader's own set-ups.
    home : Path
        Where JupyterLab keeps its own settings, apart from those of any other JupyterLab here.
    """

    def __init__(self, lessons: Path, models: Path, home: Path):
        self.token, self.port = secrets.token_hex(16), _free_port()
        folders = {
            "JUPYTER_CONFIG_DIR": home / "config",
            "JUPYTER_DATA_DIR": home / "data",
            "JUPYTER_RUNTIME_DIR": home / "runtime",
            "JUPYTERLAB_SETTINGS_DIR": home / "settings",
            "JUPYTERLAB_WORKSPACES_DIR": home / "workspaces",
            "MIXING_WORKBOOK_MODELS": models,
            "IPYTHONDIR": home / "ipython",
        }
        early = home / "ipython" / "profile_default" / "startup" / "lessons.py"
        early.parent.mkdir(parents=True, exist_ok=True)
        early.write_text(_EARLY, encoding="utf-8")
        environment = {name: str(path) for name, path in folders.items()}
        environment |= {"JUPYTER_TOKEN": self.token, "JUPYTER_CONFIG_PATH": str(_PAGE)}
        command = [
            sys.executable,
            "-m",
            "jupyterlab",
            "--no-browser",
            "--ip=127.0.0.1",
            f"--port={self.port}",
        ]
        command += ["--log-level=ERROR", "--ServerApp.port_retries=0", f"--ServerApp.root_dir={lessons}"]
        command += [f"--ServerApp.jpserver_extensions={_SERVER_PARTS}", "--LabApp.extension_manager=readonly"]
        command += [f"--LabApp.extra_labextensions_path={_PAGE / 'labextensions'}"]
        if hasattr(os, "geteuid") and os.geteuid() == 0:
            command.append("--allow-root")
        self._log = home / "server.log"
        with self._log.open("w", encoding="utf-8") as log:
            self._process = subprocess.Popen(
                command,
                env=os.environ | environment,
                stdin=subprocess.DEVNULL,
                stdout=log,
                stderr=subprocess.STDOUT,
                start_new_session=True,  # Ctrl-C comes to us, and we end it
            )

    def __enter__(self) -> Lab:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def address(self, lesson: str, to_a_room: bool = False) -> str:
        """Where a lesson is read, or shown to a room; with the password in it."""
        shown = "&show" if to_a_room else ""
        return f"http://127.0.0.1:{self.port}/doc/tree/{lesson}?token={self.token}{shown}"

    def wait_until_up(self, seconds: float = 120.0) -> None:
        """Return when it answers.

        Parameters
        ----------
        seconds : float
            How long it may take, in s.

        Raises
        ------
        RuntimeError
            If it does not in that time; with the end of what it wrote.
        """
        end = time.monotonic() + seconds
        while time.monotonic() < end and self._process.poll() is None:
            try:
                self.ask("api/status")
                return
            except OSError:
                time.sleep(0.1)
        written = self._log.read_text(encoding="utf-8", errors="replace")
        raise RuntimeError(f"The page's server did not start.\n{written[-2000:]}")

    def begin(self, lesson: str) -> None:
        """Start a lesson's kernel, which then is ready when the page is."""
        kernel = {"name": "python3"}
        self.ask("api/sessions", {"path": lesson, "name": lesson, "type": "notebook", "kernel": kernel})

    def wait_until_left(self) -> None:
        """Return when no page has been open for a minute, once there was one, or the server has ended.

        Questions are counted, not seconds: a machine that slept has not left.
        """
        seen, empty = False, 0
        while self._process.poll() is None and empty < _LEFT_AFTER:
            time.sleep(_ASK_EVERY_S)
            try:
                pages = sum(kernel["connections"] for kernel in self.ask("api/kernels"))
            except OSError:
                continue
            seen, empty = seen or pages > 0, 0 if pages or not seen else empty + 1

    def close(self) -> None:
        """End the server and its kernels."""
        try:
            self.ask("api/shutdown", {})
            self._process.wait(10)
        except (OSError, subprocess.TimeoutExpired):
            self._process.terminate()
            try:
                self._process.wait(10)
            except subprocess.TimeoutExpired:
                self._process.kill()
                self._process.wait()

    def ask(self, path: str, content: object = None) -> Any:
        """Ask the server's own interface; with content, tell it."""
        request = urllib.request.Request(
            f"http://127.0.0.1:{self.port}/{path}",
            None if content is None else json.dumps(content).encode(),
            {"Authorization": f"token {self.token}"},
        )
        with urllib.request.urlopen(request, timeout=20) as answer:
            return json.loads(answer.read() or "null")


def show(lab: Lab, lesson: str, to_a_room: bool = False) -> None:
    """Open a lesson in the reader's browser; the address is printed for a machine that opens none."""
    address = lab.address(lesson, to_a_room)
    print(f"The lesson opens in your browser. If it does not, open this address:\n  {address}")
    print("Close the page, or press Ctrl and C here, to end.", flush=True)
    if os.environ.get("MIXING_WORKBOOK_BROWSER") != "none":
        webbrowser.open(address)


def _free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return probe.getsockname()[1]
