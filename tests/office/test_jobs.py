"""Long work in the background: told as it goes, kept for its owner alone, stopped when nobody wants it, gone at the end."""

from __future__ import annotations

import subprocess
import sys
import threading
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from app.office import jobs
from app.office.jobs import Busy, Jobs, Order, Progress, WorkRefused

PATIENCE_S = 20


class Gate:
    """Work that waits at its second step until it is let go."""

    def __init__(self) -> None:
        self.begun, self.go = threading.Event(), threading.Event()

    def work(self, path: Path, progress: Progress) -> None:
        progress(1, 3, "Photo 1 of 3")
        self.begun.set()
        assert self.go.wait(PATIENCE_S)
        progress(2, 3, "Photo 2 of 3")
        path.write_bytes(b"made")


def order(work: Callable[[Path, Progress], None], key: str = "record") -> Order:
    return Order(key, "Commissioning record", "record.pdf", "application/pdf", work)


@pytest.fixture
def held(tmp_path: Path) -> Iterator[Jobs]:
    found = Jobs(tmp_path / "being-made", workers=2)
    yield found
    found.close()


def test_a_job_says_how_far_it_is_and_ends_with_its_file(held: Jobs) -> None:
    gate = Gate()
    job = held.start("ada", order(gate.work))
    assert gate.begun.wait(PATIENCE_S)
    assert (job.state, job.done, job.total, job.words, job.is_open) == (jobs.RUNNING, 1, 3, "Photo 1 of 3", True)
    gate.go.set()
    assert job.ended.wait(PATIENCE_S)
    assert (job.state, job.is_open, job.path.read_bytes()) == (jobs.DONE, False, b"made")


def test_a_job_and_its_file_are_for_its_owner_alone(held: Jobs) -> None:
    job = held.start("ada", order(lambda path, _: path.write_bytes(b"x")))
    assert job.ended.wait(PATIENCE_S)
    assert held.find("ada", job.id) is job
    assert held.find("ben", job.id) is None and held.find("ada", "other") is None
    assert held.made_before("ada", "record") is job and held.made_before("ben", "record") is None
    assert job.path.parent.stat().st_mode & 0o077 == 0


def test_the_same_order_again_is_the_same_job_while_it_is_under_way(held: Jobs) -> None:
    gate = Gate()
    job = held.start("ada", order(gate.work))
    assert held.start("ada", order(gate.work)) is job
    assert held.start("ben", order(gate.work)) is not job
    gate.go.set()
    assert job.ended.wait(PATIENCE_S)
    assert held.start("ada", order(gate.work)) is not job


def test_too_much_at_once_is_refused_with_what_to_do(held: Jobs, monkeypatch: pytest.MonkeyPatch) -> None:
    gate = Gate()
    for number in range(3):
        held.start("ada", order(gate.work, str(number)))
    with pytest.raises(Busy, match="3 files are being made for you already"):
        held.start("ada", order(gate.work, "one more"))
    monkeypatch.setattr(jobs, "JOBS_AT_ONCE", 4)
    held.start("ben", order(gate.work))
    with pytest.raises(Busy, match="Try again in a minute"):
        held.start("cay", order(gate.work))
    gate.go.set()


@pytest.mark.parametrize(
    ("fault", "says"),
    [
        (WorkRefused("The record could not be set."), "The record could not be set."),
        (ZeroDivisionError("secret"), "try once more"),
    ],
)
def test_work_that_fails_says_so_and_leaves_no_file(held: Jobs, fault: Exception, says: str) -> None:
    def work(path: Path, _: Progress) -> None:
        path.write_bytes(b"half")
        raise fault

    job = held.start("ada", order(work))
    assert job.ended.wait(PATIENCE_S)
    assert job.state == jobs.FAILED and says in job.words and "secret" not in job.words
    assert not job.path.exists()
    # The thread lives on.
    assert held.start("ada", order(lambda path, _: path.write_bytes(b"x"))).ended.wait(PATIENCE_S)


def test_a_stopped_job_ends_at_its_next_step(held: Jobs) -> None:
    gate = Gate()
    job = held.start("ada", order(gate.work))
    assert gate.begun.wait(PATIENCE_S)
    held.stop(job)
    gate.go.set()
    assert job.ended.wait(PATIENCE_S)
    assert job.state == jobs.STOPPED and not job.path.exists()


def test_a_file_is_gone_after_its_hour(held: Jobs, monkeypatch: pytest.MonkeyPatch) -> None:
    job = held.start("ada", order(lambda path, _: path.write_bytes(b"x")))
    assert job.ended.wait(PATIENCE_S)
    assert job.ended_at is not None
    later = job.ended_at + jobs.JOB_KEPT_SECONDS
    monkeypatch.setattr(time, "monotonic", lambda: later - 1)
    assert held.find("ada", job.id) is job
    monkeypatch.setattr(time, "monotonic", lambda: later + 1)
    assert held.find("ada", job.id) is None and held.made_before("ada", "record") is None
    held.start("ada", order(lambda path, _: path.write_bytes(b"y"), "next"))
    assert not job.path.exists()


def test_who_asks_again_and_again_keeps_the_newest_files_and_does_not_fill_the_disk(held: Jobs) -> None:
    bens = held.start("ben", order(lambda path, _: path.write_bytes(b"ben's")))
    assert bens.ended.wait(PATIENCE_S)
    made = []
    for number in range(20):
        made.append(held.start("ada", order(lambda path, _: path.write_bytes(b"x"), str(number))))
        assert made[-1].ended.wait(PATIENCE_S)
    kept = [held.find("ada", job.id) is job for job in made]
    assert kept == [False] * 12 + [True] * 8
    assert [job.path.exists() for job in made] == kept
    assert held.find("ben", bens.id) is bens and bens.path.exists()


def test_a_file_that_can_not_be_removed_while_it_is_fetched_hinders_nobody(held: Jobs, monkeypatch: pytest.MonkeyPatch) -> None:
    job = held.start("ada", order(lambda path, _: path.write_bytes(b"x")))
    assert job.ended.wait(PATIENCE_S)
    later = job.ended_at + jobs.JOB_KEPT_SECONDS + 1
    monkeypatch.setattr(time, "monotonic", lambda: later)

    def locked(*_: object, **__: object) -> None:
        raise PermissionError

    with monkeypatch.context() as windows:
        windows.setattr(Path, "unlink", locked)
        held.start("ben", order(lambda path, _: path.write_bytes(b"y")))
    assert job.path.exists() and held.find("ada", job.id) is None
    held.start("cay", order(lambda path, _: path.write_bytes(b"z")))
    assert not job.path.exists()


def test_what_a_server_that_was_killed_left_is_removed_at_the_next_start(tmp_path: Path) -> None:
    folder = tmp_path / "being-made"
    folder.mkdir()
    (folder / "old.made").write_bytes(b"x")
    held = Jobs(folder)
    assert not folder.exists()
    held.close()


def test_closing_ends_running_work_at_its_next_step_and_removes_every_file(tmp_path: Path) -> None:
    held, gate = Jobs(tmp_path / "being-made"), Gate()
    done = held.start("ada", order(lambda path, _: path.write_bytes(b"x"), "done"))
    assert done.ended.wait(PATIENCE_S)
    job = held.start("ada", order(gate.work))
    assert gate.begun.wait(PATIENCE_S)
    closing = threading.Thread(target=held.close)
    closing.start()
    gate.go.set()
    closing.join(PATIENCE_S)
    assert not closing.is_alive()
    assert job.state == jobs.STOPPED
    assert not (tmp_path / "being-made").exists()


def test_nothing_is_left_when_the_program_ends_in_the_middle_of_a_job(tmp_path: Path) -> None:
    program = """
import sys, time
from pathlib import Path
from app.office.jobs import Jobs, Order
held = Jobs(Path(sys.argv[1]))
def work(path, progress):
    path.write_bytes(b"half")
    for number in range(100_000):
        progress(number, 100_000, "Photo")
        time.sleep(0.01)
job = held.start("ada", Order("k", "t", "f", "m", work))
while not job.path.exists():
    time.sleep(0.01)
print("begun", flush=True)
"""
    folder = tmp_path / "being-made"
    run = subprocess.run([sys.executable, "-c", program, str(folder)], capture_output=True, text=True, timeout=60, check=False)
    assert (run.returncode, run.stdout.strip()) == (0, "begun"), run.stderr
    assert not folder.exists()


def test_a_server_told_to_end_ends_well_and_leaves_nothing(tmp_path: Path) -> None:
    program = """
import os, signal, sys, threading, time
from pathlib import Path
from app import create_app, serving
from app.office.jobs import Order
app = create_app(sys.argv[1])
begun = threading.Event()
def work(path, progress):
    path.write_bytes(b"half")
    begun.set()
    for number in range(100_000):
        progress(number, 100_000, "Photo")
        time.sleep(0.01)
app.extensions["spanbook_jobs"].start("ada", Order("k", "t", "f", "m", work))
assert begun.wait(20)
server = serving.make_server(app, "127.0.0.1", 0)
threading.Timer(0.5, lambda: os.kill(os.getpid(), signal.SIGTERM)).start()
serving.run(server)
print("ended")
"""
    run = subprocess.run([sys.executable, "-c", program, str(tmp_path)], capture_output=True, text=True, timeout=60, check=False)
    assert (run.returncode, run.stdout.strip()) == (0, "ended"), run.stderr
    assert sorted(path.name for path in tmp_path.iterdir() if "being" in path.name) == []
