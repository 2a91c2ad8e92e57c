"""Long work in the background: a few threads, progress in words and numbers, each result a file that only its owner may fetch.

Results lie in a folder of their own beside the database (a temporary folder of the system may be memory). It is emptied when the server
starts and when it stops; what runs then ends at its next step.
"""

from __future__ import annotations

import logging
import queue
import secrets
import shutil
import threading
import time
import weakref
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

from app.config import JOB_KEPT_SECONDS, JOB_WORKERS, JOBS_AT_ONCE, JOBS_AT_ONCE_PER_PERSON, JOBS_KEPT_PER_PERSON

Progress = Callable[[int, int, str], None]
Work = Callable[[Path, Progress], None]

WAITING, RUNNING, DONE, FAILED, STOPPED = "waiting", "running", "done", "failed", "stopped"
_LAST_SECONDS = 20
_TIDIES_EACH_SECONDS = 60

_log = logging.getLogger(__name__)


class Busy(Exception):
    """Too much is being made; its text says so and what to do."""


class WorkRefused(Exception):
    """Work that can't be done; its text is for the person who asked."""


class _Stopped(Exception):
    """Raised inside the work at its next step once nobody wants it any more."""


@dataclass(frozen=True)
class Order:
    """What is to be made: a title for people, the file that comes of it, and the work: given a path to write to and a way to say how far it is."""

    key: str
    title: str
    file_name: str
    media_type: str
    work: Work


@dataclass
class Job:
    """An order under way. `done` of `total` steps (0 of 0: not known), `words` for a person; `back`: the page that it was asked on."""

    id: str
    owner: str
    order: Order
    path: Path
    state: str = WAITING
    words: str = "Waits until other work is done"
    done: int = 0
    total: int = 0
    unwanted: bool = False
    back: str = ""
    ended_at: float | None = None
    ended: threading.Event = field(default_factory=threading.Event)

    @property
    def is_open(self) -> bool:
        """Is it waiting or running?"""
        return self.state in (WAITING, RUNNING)

    def step(self, done: int, total: int, words: str) -> None:
        """Note how far the work is; ends it here when nobody wants it any more."""
        if self.unwanted:
            raise _Stopped
        self.done, self.total, self.words = done, total, words


class Jobs:
    """All jobs of one server."""

    def __init__(self, folder: Path, workers: int = JOB_WORKERS) -> None:
        self._held = _Held(folder, workers)
        weakref.finalize(self, self._held.close)

    def start(self, owner: str, order: Order) -> Job:
        """Begin the work, or give the same order of the same owner that is already under way. Errors: Busy."""
        return self._held.start(owner, order)

    def find(self, owner: str, id: str) -> Job | None:
        """A job, for its owner alone. None for another's, or one that is gone."""
        job = self._held.jobs.get(id)
        return job if job and job.owner == owner and self._held.is_kept(job) else None

    def made_before(self, owner: str, key: str) -> Job | None:
        """A job of this owner and key that is done and whose file is still kept."""
        found = [job for job in list(self._held.jobs.values()) if (job.owner, job.order.key, job.state) == (owner, key, DONE)]
        return next((job for job in found if self._held.is_kept(job)), None)

    def stop(self, job: Job) -> None:
        """End a job that nobody wants any more, at its next step."""
        job.unwanted = True

    def close(self) -> None:
        """End all work and remove every file."""
        self._held.close()


class _Held:
    """What the threads work on; apart from `Jobs`, so that a forgotten `Jobs` is cleared up although threads still hold this."""

    def __init__(self, folder: Path, workers: int) -> None:
        self.folder, self.workers = folder, workers
        # What a server that was killed left.
        shutil.rmtree(folder, ignore_errors=True)
        self.jobs: dict[str, Job] = {}
        self._queue: queue.SimpleQueue[Job | None] = queue.SimpleQueue()
        self._threads: list[threading.Thread] = []
        self._lock = threading.Lock()
        self._is_closed = False

    def start(self, owner: str, order: Order) -> Job:
        with self._lock:
            self._forget_old()
            waiting = [job for job in self.jobs.values() if job.is_open and not job.unwanted]
            same = [job for job in waiting if (job.owner, job.order.key) == (owner, order.key)]
            if same:
                return same[0]
            _refuse_too_much(waiting, owner)
            self._make_room(owner)
            self._prepare()
            id = secrets.token_urlsafe(16)
            job = self.jobs[id] = Job(id, owner, order, self.folder / f"{secrets.token_hex(8)}.made")
            self._queue.put(job)
        return job

    def _prepare(self) -> None:
        if self._threads:
            return
        self.folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        for number in range(self.workers):
            thread = threading.Thread(target=self._run, name=f"spanbook-job-{number}", daemon=True)
            self._threads.append(thread)
            thread.start()

    def _run(self) -> None:
        while (job := self._next()) is not None:
            job.state, job.words = RUNNING, "Begun"
            job.state, job.words = _outcome(job)
            job.ended_at = time.monotonic()
            if job.state != DONE:
                job.path.unlink(missing_ok=True)
            job.ended.set()

    def _next(self) -> Job | None:
        """The next job, or None at the end; old files go while nothing is to be done."""
        while True:
            try:
                return self._queue.get(timeout=_TIDIES_EACH_SECONDS)
            except queue.Empty:
                with self._lock:
                    self._forget_old()

    def is_kept(self, job: Job) -> bool:
        return job.ended_at is None or time.monotonic() - job.ended_at < JOB_KEPT_SECONDS

    def _forget_old(self) -> None:
        for job in [job for job in self.jobs.values() if not self.is_kept(job)]:
            self._forget(job)

    def _make_room(self, owner: str) -> None:
        """The oldest finished jobs of this owner go until there is room for one more."""
        ended = [job for job in self.jobs.values() if job.owner == owner and job.ended_at is not None]
        for job in ended[: max(0, len(ended) + 1 - JOBS_KEPT_PER_PERSON)]:
            self._forget(job)

    def _forget(self, job: Job) -> None:
        try:
            job.path.unlink(missing_ok=True)
        except OSError:  # Windows keeps a file that somebody is fetching; it goes next time
            return
        del self.jobs[job.id]

    def close(self) -> None:
        with self._lock:
            if self._is_closed:
                return
            self._is_closed = True
            for job in self.jobs.values():
                job.unwanted = True
            for _ in self._threads:
                self._queue.put(None)
        for thread in self._threads:
            thread.join(_LAST_SECONDS)
        if self._threads:
            shutil.rmtree(self.folder, ignore_errors=True)


def _refuse_too_much(waiting: list[Job], owner: str) -> None:
    own = [job for job in waiting if job.owner == owner]
    if len(own) >= JOBS_AT_ONCE_PER_PERSON:
        raise Busy(f"{len(own)} files are being made for you already. Wait until one of them is done.")
    if len(waiting) >= JOBS_AT_ONCE:
        raise Busy("The server is making as much as it can. Try again in a minute.")


def _outcome(job: Job) -> tuple[str, str]:
    """Do the work -> how it ended, in a word and in words."""
    try:
        job.step(0, 0, "Begun")
        job.order.work(job.path, job.step)
    except _Stopped:
        return STOPPED, "Stopped. Nothing was kept of it."
    except WorkRefused as refused:
        return FAILED, str(refused)
    except Exception:
        _log.exception("the job '%s' failed", job.order.title)
        return FAILED, "The server has a fault and could not make it. The book is not harmed; try once more."
    return DONE, "Done"
