"""A room from a visitor's browser: pages to read and try, each visitor apart, nothing from another host."""

import time

import pytest
from accessible import crowded
from playwright.sync_api import expect
from running_room import RunningRoom

from mixlib.describe import as_toml, hopper_ready, load, shelf

pytestmark = pytest.mark.browser
FORM, LESSON = "00_start_here.ipynb", "03_flaperons.ipynb"


@pytest.fixture(scope="module")
def room(page):
    with RunningRoom(FORM[:2], seats=3) as running:
        yield running


@pytest.fixture
def arrive(room, page):
    """Visitors with a phone each, at the room's first page; what their pages ask for is noted."""
    came = []

    def one():
        came.append(page.context.browser.new_context(viewport={"width": 390, "height": 844}, has_touch=True))
        phone = came[-1].new_page()
        phone.asked = []
        phone.on("request", lambda request: phone.asked.append(request.url))
        phone.goto(room.address)
        return phone

    yield one
    for phone in came:
        phone.close()


def open_lesson(phone, lesson):
    phone.locator(f'a[href$="{lesson}"]').first.click()
    phone.locator(".mix-card svg").first.wait_for(timeout=120_000)


def take_in(phone, setup):
    phone.get_by_role("button", name="My models").click()
    content = {"name": "mine.toml", "mimeType": "text/plain", "buffer": as_toml(setup).encode()}
    phone.locator('.mix-card input[type="file"]').set_input_files(content)
    phone.get_by_text(f"{shelf.file_stem(setup.name)} (set-up)").wait_for()


def taken_home(phone, room, folder):
    phone.goto(room.address)
    with phone.expect_download() as saved:
        phone.get_by_role("link", name="Take home").click()
    saved.value.save_as(folder / saved.value.suggested_filename)
    return load(folder / saved.value.suggested_filename)


def test_two_visitors_with_the_same_name_each_take_their_own_home(room, arrive, tmp_path, monkeypatch):
    heavy, light = (hopper_ready().replace(name="My glider", note=word) for word in ("heavy", "light"))
    phones = [arrive(), arrive()]
    for phone, setup in zip(phones, (heavy, light), strict=True):
        open_lesson(phone, FORM)
        take_in(phone, setup)
    for phone, setup in zip(phones, (heavy, light), strict=True):
        assert taken_home(phone, room, tmp_path) == setup
    monkeypatch.setenv("MIXING_WORKBOOK_MODELS", str(tmp_path / "at_home"))
    assert load(shelf.take_in((tmp_path / "my_glider.toml").read_bytes())) == light


def test_a_page_whose_kernel_is_gone_says_so_and_opens_again_and_the_neighbour_sees_nothing(room, arrive):
    one, other = arrive(), arrive()
    for phone in (one, other):
        open_lesson(phone, FORM)
    room.kernels()[
        one.evaluate("JSON.parse(document.getElementById('jupyter-config-data').textContent).kernelId")
    ].kill()
    expect(one.get_by_role("alert")).to_contain_text("put away", timeout=20_000)
    expect(other.get_by_role("alert")).to_be_hidden()
    other.get_by_role("button", name="My models").click()
    expect(other.get_by_text("Nothing is kept yet.")).to_be_visible()
    one.get_by_role("button", name="Open it again").click()
    expect(one.get_by_role("alert")).to_be_hidden()
    one.locator(".mix-card svg").first.wait_for(timeout=120_000)


def test_a_lesson_fits_a_phone_holds_its_answers_back_and_asks_no_other_host(room, arrive):
    phone = arrive()
    open_lesson(phone, LESSON)
    phone.get_by_text("Kept back until you have answered").first.wait_for()
    assert not phone.locator(".jp-InputArea-editor").count()
    assert phone.evaluate("document.documentElement.scrollWidth") <= 390
    for card in phone.locator(".mix-card").all():
        for _ in range(20):  # until it has told its room, and is drawn for it
            if not crowded(card):
                break
            phone.wait_for_timeout(500)
        assert crowded(card) == []
    foreign = [
        url
        for url in phone.asked
        if not url.startswith((room.address, room.address.replace("http", "ws"), "data:", "blob:"))
    ]
    assert foreign == []
    assert len(phone.asked) > 20


def test_what_is_for_the_presenter_is_not_shown_and_answers_are_folded(room, arrive):
    phone = arrive()
    open_lesson(phone, "11_club_evening.ipynb")
    assert not phone.get_by_text("Presenter's note").count()
    folded = phone.locator("details")
    assert folded.count() > 5
    assert not phone.locator("details .jp-Cell").first.is_visible()
    folded.first.locator("summary").click()
    expect(phone.locator("details .jp-Cell").first).to_be_visible()


def test_a_page_that_is_closed_gives_its_seat_back(room, arrive):
    phone = arrive()
    open_lesson(phone, FORM)
    before = room.taken()
    phone.close(run_before_unload=True)
    end = time.monotonic() + 20
    while room.taken() >= before:
        assert time.monotonic() < end
