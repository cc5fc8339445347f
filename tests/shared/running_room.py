"""A room of our own on this machine alone, and visitors who come without a browser."""

import http.cookiejar
import json
import os
import re
import subprocess
import sys
import time
import urllib.error
import urllib.request

import psutil


class RunningRoom:
    """``python3 mixlib room`` with few seats.  Use as a context manager.

    Parameters
    ----------
    lesson : str
        Two digits of the lesson of the evening.
    seats : int
        Pages open at once.
    """

    def __init__(self, lesson: str, seats: int):
        command = [sys.executable, "-m", "mixlib.start.room", lesson, "--yes", "--at", "127.0.0.1"]
        environment = os.environ | {"MIXING_WORKBOOK_BROWSER": "none", "MIXING_WORKBOOK_ALL_ANSWERED": "no"}
        self._process = subprocess.Popen(
            [*command, "--seats", str(seats)],
            env=environment,
            stdout=subprocess.PIPE,
            text=True,
            encoding="utf-8",
        )
        self.said = ""
        while not self.said.endswith("/door\n"):
            line = self._process.stdout.readline()
            assert line, f"the room was not opened: {self.said}"
            self.said += line
        self.address = re.findall(r"http://[\d.:]+", self.said)[-1]

    def __enter__(self) -> "RunningRoom":
        end = time.monotonic() + 30
        while Visitor(self).status("/door") is None:
            assert time.monotonic() < end, "the room does not answer"
            time.sleep(0.1)
        return self

    def __exit__(self, *_: object) -> None:
        self._process.terminate()
        self._process.wait(30)

    def kernels(self) -> dict[str, psutil.Process]:
        """The processes of the kernels by the names that the server has for them."""
        found = {}
        for process in psutil.Process(self._process.pid).children(recursive=True):
            if name := re.search(r"kernel-([\w-]+)\.json", " ".join(process.cmdline())):
                found[name[1]] = process
        return found

    def taken(self) -> int:
        """How many seats are taken, as the presenter sees it."""
        return int(re.search(r"(\d+) of \d+ seats", Visitor(self).read("/door"))[1])


class Visitor:
    """Somebody with a device of their own, which keeps the cookies it was given."""

    def __init__(self, room: RunningRoom):
        self.room, self.cookies, self.kernels = room, http.cookiejar.CookieJar(), []
        self.page = ""
        self._open = urllib.request.build_opener(urllib.request.HTTPCookieProcessor(self.cookies)).open

    def read(self, path: str) -> str:
        """What is answered, an error's page too."""
        try:
            with self._open(self.room.address + path, timeout=120) as answer:
                return answer.read().decode()
        except urllib.error.HTTPError as error:
            return error.read().decode()

    def status(self, path: str, method: str = "GET") -> int | None:
        """The status of the answer; None if there is none."""
        request = urllib.request.Request(
            self.room.address + path, b"{}" if method == "POST" else None, method=method
        )
        try:
            with self._open(request, timeout=20) as answer:
                return answer.status
        except urllib.error.HTTPError as error:
            return error.code
        except OSError:
            return None

    def open(self, lesson: str) -> str:
        """Open a lesson; returns the name of its kernel."""
        self.page = self.read(f"/voila/render/{lesson}")
        config = re.search(
            r'id="jupyter-config-data" type="application/json">\s*(\{.*?\})\s*</script>', self.page, re.S
        )
        assert config, self.page[:2000]
        self.kernels.append(json.loads(config[1])["kernelId"])
        return self.kernels[-1]

    def leave(self) -> None:
        """Close all pages, as a browser does."""
        mark = next((cookie.value for cookie in self.cookies if cookie.name == "_xsrf"), "")
        while self.kernels:
            self.status(f"/voila/api/shutdown/{self.kernels.pop()}?_xsrf={mark}", "POST")
