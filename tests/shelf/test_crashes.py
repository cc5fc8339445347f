"""Crashes, two writers at once, a full disk, a read-only folder: what was kept before is there, whole."""

import multiprocessing
import os
import random
import resource
import signal
import tempfile
import time
from pathlib import Path

import pytest

from mixlib.describe import DescriptionError, Phase, plain_setup, shelf, shipped

MINE = plain_setup(shipped("aircraft", "orchard_two"), shipped("radio", "simple_six"), "Mine")
FORK = multiprocessing.get_context("fork")  # a child that has everything loaded starts in milliseconds


@pytest.fixture
def own(tmp_path, monkeypatch):
    monkeypatch.setenv("MIXING_WORKBOOK_MODELS", str(tmp_path / "mine"))
    return tmp_path / "mine"


def told_by(work):
    """What a child process answers, which may spoil its own rights and limits."""
    here, there = FORK.Pipe(duplex=False)
    child = FORK.Process(target=lambda: there.send(work()))
    child.start()
    there.close()
    answer = here.recv()
    child.join()
    return answer


def refusal(work):
    try:
        work()
    except DescriptionError as error:
        return str(error)
    return "done"


def keep_on(first, acknowledge):
    version = shelf.load_draft("form").version
    acknowledge.send(first - 1)  # it has begun, however slow the machine
    for number in range(first, first + 10_000):
        version = shelf.save_draft("form", number, version)
        shelf.keep(MINE.replace(note=str(number)))
        acknowledge.send(number)


@pytest.mark.parametrize("rounds", [20, pytest.param(100, marks=pytest.mark.slow)])
def test_a_kill_in_the_midst_of_saving_loses_nothing_that_was_kept(own, rounds):
    """SIGKILL cannot be caught: what is on disk then is what a power cut of the program would leave."""
    chance, last = random.Random(1), 0
    shelf.keep(MINE.replace(note="0"))
    shelf.save_draft("form", 0, "")
    for _ in range(rounds):
        here, there = FORK.Pipe(duplex=False)
        child = FORK.Process(target=keep_on, args=(last + 1, there))
        child.start()
        there.close()
        assert here.recv() == last
        time.sleep(chance.uniform(0.02, 0.12))
        os.kill(child.pid, signal.SIGKILL)
        child.join()
        try:
            while True:
                last = here.recv()
        except EOFError:
            pass
        found = shelf.chosen(MINE)
        assert found.sentence.startswith("Working with your own set-up 'Mine'")
        assert int(found.setup.note) in (last, last + 1)
        draft = shelf.load_draft("form")
        assert draft.sentence == ""
        assert draft.data in (last, last + 1)
        last = int(found.setup.note)
    assert last >= rounds / 4
    assert shelf.put_back("mine")
    assert int(shelf.open_kept("mine").note) in (last - 1, last)


def test_what_a_crash_leaves_behind_is_swept_up(own):
    shelf.keep(MINE)
    left = own / ".mine.toml.123-456.part"
    left.write_text("half a set-up")
    shelf.keep(MINE)
    assert left.exists()  # it may belong to somebody who is writing now
    os.utime(left, (0, 0))
    shelf.keep(MINE)
    assert not left.exists()
    assert list(own.rglob("*.part")) == []


def keep_phases(names):
    for name in names:
        phase = Phase(name=name, angles_deg={"left aileron": 1.0, "right aileron": 1.0})
        shelf.keep_change(MINE, lambda newest, phase=phase: newest.with_phase(phase))


def test_two_notebooks_that_save_forty_changes_at_once_lose_none(own):
    names = [[f"{who} {number}" for number in range(20)] for who in ("first", "second")]
    children = [FORK.Process(target=keep_phases, args=(part,)) for part in names]
    for child in children:
        child.start()
    for child in children:
        child.join()
    kept = [phase.name for phase in shelf.open_kept("mine").phases]
    assert sorted(kept) == sorted(names[0] + names[1])
    assert [name for name in kept if name in names[0]] == names[0]


def test_a_writer_that_does_not_end_is_told(own, monkeypatch):
    from mixlib.describe import disk

    monkeypatch.setattr(disk, "_PATIENCE_S", 0.05)
    shelf.keep(MINE)
    with disk.locked(own):
        assert "another notebook is saving there" in refusal(lambda: shelf.keep(MINE.replace(note="x")))
    assert shelf.open_kept("mine") == MINE


def test_a_full_disk_is_told_and_the_old_file_stays(own):
    """The system lets the child write 3000 bytes a file at most; a set-up has about 6000."""
    shelf.keep(MINE)

    def work():
        signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
        resource.setrlimit(resource.RLIMIT_FSIZE, (3000, 3000))
        return refusal(lambda: shelf.keep(MINE.replace(note="x")))

    said = told_by(work)
    assert said.startswith("mine.toml: it is not saved (the system allows no file of this size)")
    assert "The old file, if any, is untouched" in said
    assert shelf.chosen(MINE).setup == shelf.open_kept("mine") == MINE
    assert list(own.rglob("*.part")) == []


def test_a_read_only_folder_is_told_and_can_be_read(monkeypatch):
    with tempfile.TemporaryDirectory() as base:
        own = Path(base) / "mine"
        monkeypatch.setenv("MIXING_WORKBOOK_MODELS", str(own))
        shelf.keep(MINE)
        for path in (Path(base), own):
            path.chmod(0o555)

        def work():
            if os.geteuid() == 0:  # root may write everywhere
                os.setuid(65534)
            changes = [
                lambda: shelf.keep(MINE.replace(note="x")),
                lambda: shelf.keep_change(MINE, lambda newest: newest.replace(note="x")),
                lambda: shelf.save_draft("form", 1, ""),
                lambda: shelf.delete("mine"),
                lambda: shelf.choose("mine"),
            ]
            return [refusal(change) for change in changes], shelf.chosen(MINE).setup.name

        said, name = told_by(work)
        Path(base).chmod(0o755)
        own.chmod(0o755)
        for sentence in said:
            assert "nothing is saved there (you may not write or read there)" in sentence
        assert name == "Mine"
        assert shelf.open_kept("mine") == MINE


def test_a_file_marked_read_only_is_not_replaced(own, monkeypatch):
    path = shelf.keep(MINE)
    monkeypatch.setattr(os, "access", lambda place, mode: Path(place) != path)
    assert "it is not saved (you may not write or read there)" in refusal(
        lambda: shelf.keep(MINE.replace(note="x"))
    )
    assert shelf.open_kept("mine") == MINE
