"""Open the workbook: ``python3 mixlib`` (Windows: ``py mixlib``); all tests: ``python3 mixlib tests``.

This file runs before anything is installed, so it needs nothing but Python itself.  It makes a virtual
environment beside the library, installs what the list of packages asks for when that list has changed, and
hands over to `mixlib.start`.
"""

from __future__ import annotations

import hashlib
import os
import shutil
import subprocess
import sys
from importlib.util import find_spec
from pathlib import Path

__all__ = ["main"]

_ROOT = Path(__file__).resolve().parent.parent
_PACKAGES = _ROOT / "packages"  # carried along for a place without internet
_OLDEST = (3, 11)
# Tests that drive a browser mostly wait for it, so three processes keep two cores busy; those come early.
_SHARED_OUT = ("-n3", "--dist=loadfile", "--no-loadscope-reorder")
_USAGE = """Commands:
  python3 mixlib            open the lessons in your browser
  python3 mixlib show       show the club evening to a room: one screen at a time, by keyboard
  python3 mixlib room       open them to a room as well, on its own network; -h tells more
  python3 mixlib pack       fetch all packages into the folder packages, for a place without internet
  python3 mixlib tests      run all tests; what follows goes to pytest
On Windows: py mixlib"""
_NO_VENV = """This Python comes without the part that makes an environment (venv with ensurepip).
On Debian, Ubuntu and their kin it is a package of its own:  sudo apt install python3-venv
Then the same command again."""


def main(words: list[str]) -> int:
    """Do what the command line asks for; returns the exit status."""
    if sys.version_info < _OLDEST:
        found = ".".join(map(str, sys.version_info[:2]))
        print(f"This is Python {found}; the workbook needs {_OLDEST[0]}.{_OLDEST[1]} or newer.")
        return 1
    command, rest = (words[0], words[1:]) if words else ("lessons", [])
    try:
        if command == "tests":
            python = _environment(_ROOT / ".venv-tests", _ROOT / "tests" / "requirements.txt")
            return _run([python, "-m", "pytest", *_SHARED_OUT, *rest])
        if command == "pack":
            python = _environment(_ROOT / ".venv", _ROOT / "requirements.txt")
            listed = [python, "-m", "pip", "freeze", "--exclude-editable"]
            there = subprocess.run(list(map(str, listed)), capture_output=True, text=True, check=True)
            fetch = ["download", "--quiet", "--no-deps", "--dest", _PACKAGES, "setuptools>=77"]
            return _run([python, "-m", "pip", *fetch, *there.stdout.split()])
        if command in ("lessons", "show") and not rest:
            python = _environment(_ROOT / ".venv", _ROOT / "requirements.txt")
            return _run([python, "-m", "mixlib.start", command])
        if command == "room":
            python = _environment(_ROOT / ".venv", _ROOT / "requirements.txt")
            return _run([python, "-m", "mixlib.start.room", *rest])
    except subprocess.CalledProcessError as error:
        print(f"\nThis step did not work: {' '.join(map(str, error.cmd))}")
        print("Is there room on the disk, and internet or the folder packages? Then the same command again.")
        return 1
    print(_USAGE)
    return 0 if command in ("help", "-h", "--help") else 2


def _environment(folder: Path, wanted: Path) -> Path:
    """The Python of an environment that has the wanted packages; made or completed where it lacks them.

    What was installed is noted last, so that an environment that was left half made is made again.
    """
    python = folder / ("Scripts/python.exe" if os.name == "nt" else "bin/python")
    note, stamp = folder / "installed.txt", _stamp(wanted)
    if python.exists() and note.exists() and note.read_text(encoding="utf-8") == stamp:
        return python
    print("Installing what the workbook needs. This takes a minute or two, the first time only.", flush=True)
    uv = shutil.which("uv")
    if not (uv or find_spec("ensurepip")):
        sys.exit(_NO_VENV)
    offline = _PACKAGES.is_dir() and folder.name == ".venv"  # what the tests need is not carried along
    if not (python.exists() and note.exists()):
        if uv:
            seed = [] if offline else ["--seed"]  # pip itself is not carried along
            _do([uv, "venv", "--quiet", "--clear", *seed, "--python", sys.executable, folder])
        else:
            _do([sys.executable, "-m", "venv", "--clear", folder])
    carried = ["--no-index", "--find-links", _PACKAGES] if offline else []
    if uv:
        _do([uv, "pip", "install", "--quiet", "--python", python, *carried, "-r", wanted])
    else:
        quiet = ["--quiet", "--disable-pip-version-check", "--no-warn-script-location"]
        _do([python, "-m", "pip", "install", *quiet, *carried, "-r", wanted])
    note.write_text(stamp, encoding="utf-8")
    return python


def _stamp(wanted: Path) -> str:
    """What the packages of an environment depend on: the lists, this Python, and where the folder stands."""
    lists = [wanted, _ROOT / "requirements.txt", _ROOT / "pyproject.toml"]
    told = [sys.version, str(_ROOT), *(path.read_text(encoding="utf-8") for path in lists)]
    return hashlib.sha256("\n".join(told).encode()).hexdigest()


def _do(command: list[object]) -> None:
    subprocess.run(list(map(str, command)), cwd=_ROOT, check=True)


def _run(command: list[object]) -> int:
    """Run it to its end; Ctrl-C goes to it as well, and it ends in its own way."""
    with subprocess.Popen(list(map(str, command)), cwd=_ROOT) as process:
        while True:
            try:
                return process.wait()
            except KeyboardInterrupt:
                continue


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
