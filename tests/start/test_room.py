"""A room: nothing opens by itself, no code gets in, each visitor has a folder and a seat of their own."""

import json
import os
import subprocess
import sys
import threading
import uuid

import pytest
import websocket
from running_room import RunningRoom, Visitor

EVENING, OTHER = "02_mixing_is_addition.ipynb", "01_from_stick_to_surface.ipynb"


@pytest.fixture(scope="module")
def room():
    with RunningRoom(EVENING[:2], seats=2) as running:
        yield running


def own_folder(room, kernel):
    return room.kernels()[kernel].environ()["MIXING_WORKBOOK_MODELS"]


@pytest.fixture
def arrive(room):
    """Visitors, who leave when the test is over."""
    came = []

    def one():
        came.append(Visitor(room))
        return came[-1]

    yield one
    for visitor in came:
        visitor.leave()


def test_nothing_opens_before_somebody_has_agreed():
    command = [sys.executable, "-m", "mixlib.start.room", "--at", "127.0.0.1"]
    asked = subprocess.run(
        command, stdin=subprocess.DEVNULL, capture_output=True, text=True, encoding="utf-8", timeout=60
    )
    assert asked.returncode == 1
    assert "Nothing was opened." in asked.stdout
    for told in ("Nothing is encrypted", "a phone's hotspot", "deleted when you end it", "Nobody can send"):
        assert told in asked.stdout


def test_an_address_that_is_not_here_and_a_lesson_that_is_none_are_said_in_words():
    for wrong, told in ((["--at", "192.0.2.1"], "on no network"), (["77"], "There is no lesson 77.")):
        asked = subprocess.run(
            [sys.executable, "-m", "mixlib.start.room", "--yes", *wrong],
            capture_output=True,
            text=True,
            encoding="utf-8",
            timeout=60,
        )
        assert asked.returncode
        assert told in asked.stdout
        assert not asked.stderr


def test_no_code_can_be_sent(room, arrive, tmp_path):
    visitor = arrive()
    kernel = visitor.open(OTHER)
    cookies = "; ".join(f"{cookie.name}={cookie.value}" for cookie in visitor.cookies)
    channel = websocket.create_connection(
        f"{room.address.replace('http', 'ws')}/api/kernels/{kernel}/channels?session_id=x",
        cookie=cookies, origin=room.address, timeout=20,
    )  # fmt: skip
    trace = tmp_path / "trace"

    def send(kind, **content):
        header = {
            "msg_id": uuid.uuid4().hex,
            "msg_type": kind,
            "session": "x",
            "username": "",
            "version": "5.3",
        }
        told = {"header": header, "parent_header": {}, "metadata": {}, "content": content, "buffers": []}
        for place in ("shell", "control"):
            channel.send(json.dumps(told | {"channel": place}))
        return header["msg_id"]

    code = f"open({str(trace)!r}, 'w').close()"
    send("execute_request", code=code, silent=False, store_history=False, user_expressions={"it": code})
    send("debug_request", type="request", seq=1, command="evaluate", arguments={"expression": code})
    send("complete_request", code=code, cursor_pos=len(code))
    heard, asked = [], send("kernel_info_request")
    while (
        not heard or heard[-1]["parent_header"].get("msg_id") != asked or "reply" not in heard[-1]["msg_type"]
    ):
        heard.append(json.loads(channel.recv()))
    channel.close()
    assert not {"execute_reply", "debug_reply", "complete_reply"} & {message["msg_type"] for message in heard}
    assert not trace.exists()


CLOSED = f"""
    /api/kernels /api/sessions /api/contents /api/contents/{OTHER} /api/terminals /api/config/x /metrics
    /voila/tree /voila/api/contents /voila/files/{OTHER} /voila/render/../README.md
    /voila/render/00_start_here /take_home/..%2f..%2fREADME.toml /lab /tree /static/../README.md"""


@pytest.mark.parametrize("path", CLOSED.split())
def test_what_no_page_needs_is_closed(arrive, path):
    visitor = arrive()
    assert visitor.status(path) in (403, 404)
    assert visitor.status(path, "POST") in (403, 404, 405)
    if "/api/" not in path and "/static/" not in path:
        assert "There is no page at this address." in visitor.read(path)


def test_the_reading_view_cannot_be_told_to_look_elsewhere(arrive):
    visitor = arrive()
    visitor.open(f"{OTHER}?template=classic&theme=dark")
    assert 'data-jp-theme-light="true"' in visitor.page
    assert "room-bar" in visitor.page


def test_a_visitor_keeps_one_folder_and_cannot_fill_the_room(room, arrive):
    first, second = arrive(), arrive()
    own = {own_folder(room, first.open(OTHER)) for _ in range(3)}
    assert len(own) == 1
    assert os.path.isdir(*own)
    assert first.kernels[0] not in room.kernels()
    first.leave()
    assert own_folder(room, second.open(OTHER)) not in own


def test_a_full_room_says_so_and_a_page_that_is_left_gives_its_seat(room, arrive):
    seated, late = [arrive(), arrive()], arrive()
    for visitor in seated:
        visitor.open(EVENING)
    assert room.taken() == 2
    for lesson in (EVENING, OTHER):  # one that waits, and one that would be run anew
        assert late.status(f"/voila/render/{lesson}") == 503
        assert "The room is full" in late.read(f"/voila/render/{lesson}")
    seated[0].leave()
    assert late.open(OTHER) in room.kernels()
    assert room.taken() == 2


def test_a_seat_is_free_while_the_page_that_was_left_still_ends(room, arrive):
    seated, late = [arrive(), arrive()], arrive()
    slow, _ = (visitor.open(OTHER) for visitor in seated)
    room.kernels()[slow].suspend()  # it does not hear that it is to end
    leaving = threading.Thread(target=seated[0].leave)
    leaving.start()
    while room.taken() == 2 and leaving.is_alive():
        pass
    assert leaving.is_alive()
    assert late.open(OTHER) in room.kernels()
    leaving.join()
