"""Say what a room's network sees, ask, and open the lessons to the room; see ``--help``."""

from __future__ import annotations

import argparse
import ipaddress
import logging
import os
import socket
import sys
from pathlib import Path

import psutil
import segno

__all__ = ["main"]

_LESSONS = Path(__file__).resolve().parents[3] / "notebooks"
_EVENING = "11"
_PORTS = range(8080, 8100)
_PAGE_MB = 120  # of a page's kernel, with some to spare
_MOST_SEATS = 24
_SAID = """
This opens {address} to everyone on the network{name}, until you end it with Ctrl and C.

  - Whoever is on that network can read the lessons, move the panels and describe a model. Nobody can send
    code. Nobody sees your models, or those of another visitor.
  - Nothing is encrypted. Whoever listens on the network can read what is typed: ask the room to type nothing
    private. There is no password, since it would be read along the way like all the rest.
  - So make a network of the room's own: a phone's hotspot, or a router without internet, switched off
    afterwards. Use that of a house, a hotel or a firm only if whoever runs it agrees. Internet is not needed.
  - What visitors describe is deleted when you end it. Before that, they can take it home as a file.
  - {seats} pages can be open at once.
"""


def main() -> int:
    """Open the room; returns the exit status."""
    given = _given()
    evening = next((path.name for path in sorted(_LESSONS.glob(f"{given.lesson}_*.ipynb"))), None)
    if evening is None:
        print(f"There is no lesson {given.lesson}. Give the two digits of one, such as 03.")
        return 2
    name, host = ("", given.at) if given.at else _chosen(_networks(), given.yes)
    port = next((port for port in _PORTS if _free(host, port)), None)
    if port is None:
        print(
            "This machine is on no network that can be used. Join or make one, then the same command again."
        )
        return 1
    address = f"http://{host}:{port}"
    print(_SAID.format(address=address, name=name and f" “{name}”", seats=given.seats))
    if not given.yes and _answer("Press Enter to open it, or type no: ") != "":
        print("Nothing was opened.")
        return 1
    from mixlib.start.room.server import Room  # takes seconds: not before it is agreed

    logging.getLogger("tornado").setLevel(logging.ERROR)
    logging.getLogger("tornado.access").setLevel(
        logging.CRITICAL
    )  # that the room is full is told to whoever asked
    room = Room(_LESSONS, evening, (host, port), given.seats, given.seats // 3 or 1)
    room.open_browser = os.environ.get("MIXING_WORKBOOK_BROWSER") != "none"
    room.initialize([])
    segno.make(address, micro=False).terminal(compact=True)
    print(f"\n  {address}\n\nFor the projector: {address}/door", flush=True)
    room.start()
    print("\nThe room is closed.")
    return 0


def _given() -> argparse.Namespace:
    words = argparse.ArgumentParser(prog="python3 mixlib room", description="Open the lessons to a room.")
    evening = _EVENING if any(_LESSONS.glob(f"{_EVENING}_*.ipynb")) else "03"
    words.add_argument("lesson", nargs="?", default=evening, help=f"lesson of the evening (else {evening})")
    words.add_argument("--at", help="address of this machine on the room's network (else it is found)")
    words.add_argument("--seats", type=int, default=_sane_seats(), help="pages open at once (else by memory)")
    words.add_argument("--yes", action="store_true", help="open it without asking")
    return words.parse_args()


def _sane_seats() -> int:
    """As many as free memory has pages for, with a fifth of it left, and a quarter of the pages waiting."""
    pages = 0.8 * psutil.virtual_memory().available / (_PAGE_MB * 2**20)
    return max(min(int(0.75 * pages), _MOST_SEATS), 1)


def _networks() -> list[tuple[str, str]]:
    """Name and address of this machine on each network that it is on."""
    up = {name for name, state in psutil.net_if_stats().items() if state.isup}
    return [
        (name, entry.address)
        for name, entries in psutil.net_if_addrs().items()
        for entry in entries
        if name in up
        and entry.family == socket.AF_INET
        and not ipaddress.ip_address(entry.address).is_loopback
    ]


def _chosen(networks: list[tuple[str, str]], unasked: bool) -> tuple[str, str]:
    """The network to use; an address that nothing can listen on where there is none."""
    if len(networks) < 2 or unasked:
        return networks[0] if networks else ("", "")
    print("This machine is on more than one network:")
    for number, (name, address) in enumerate(networks, 1):
        print(f"  {number}  {name}, {address}")
    while (answer := _answer("Which is the room's? Its number: ")) is not None:
        if answer.isdecimal() and 0 < int(answer) <= len(networks):
            return networks[int(answer) - 1]
    return "", ""


def _answer(question: str) -> str | None:
    """What is typed; None where nobody can answer."""
    try:
        return input(question).strip()
    except (EOFError, KeyboardInterrupt):
        return None


def _free(host: str, port: int) -> bool:
    if not host:
        return False
    with socket.socket() as probe:
        if os.name != "nt":  # opened again at once, a room keeps its address
            probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind((host, port))
        except OSError:
            return False
    return True


if __name__ == "__main__":
    sys.exit(main())
