"""Makes reports in worker threads, says how far each is, and keeps its file for a while.

Kept in this process's memory and in a folder that is emptied at every start: a report can always
be made again.
"""

from __future__ import annotations

import logging
import secrets
import shutil
import threading
import time
from collections.abc import Callable, Mapping
from concurrent.futures import ThreadPoolExecutor
from contextvars import copy_context
from dataclasses import dataclass, field
from pathlib import Path

from bradawl.language import Message, message
from bradawl.operations import note, request_id
from bradawl.report.issue import Issued, Progress

__all__ = ["ReportJob", "ReportJobs", "file_of"]

logger = logging.getLogger(__name__)

AT_ONCE = 2
MOST_KEPT = 24
KEPT_S = 3600.0


@dataclass
class ReportJob:
    """One report: `share` is how far it is, from 0 to 1; `problem` says why it failed."""

    id: str
    visit: str
    name: str
    began_s: float
    file: Path
    share: float = 0.0
    step: str = "waiting"
    issued: Issued | None = None
    problem: Message | None = None
    _lock: threading.Lock = field(default_factory=threading.Lock, repr=False)

    @property
    def running(self) -> bool:
        return self.issued is None and self.problem is None

    @property
    def percent(self) -> int:
        return round(self.share * 100)


def file_of(folder: Path, visit: str, key: str) -> Path:
    """Where a report lies for a while."""
    return folder / f"{visit}-{key}.pdf"


class ReportJobs:
    """All reports in the making. `folder` is this object's alone.

    `ordered` gives, per visit, a text that changes when something of it is erased or set aside: a
    report that was begun before is not handed out.
    """

    def __init__(
        self,
        folder: Path,
        clock: Callable[[], float] = time.monotonic,
        ordered: Callable[[], Mapping[str, str]] = dict,
    ) -> None:
        shutil.rmtree(folder, ignore_errors=True)
        self._folder = folder
        self._clock = clock
        self._ordered = ordered
        self._jobs: dict[str, ReportJob] = {}
        self._lock = threading.Lock()
        self._pool = ThreadPoolExecutor(AT_ONCE, thread_name_prefix="report")

    def start(self, visit: str, name: str, write: Callable[[Path, Progress], Issued]) -> ReportJob:
        """Begin a report; `write` makes the file and reports how far it is."""
        self._folder.mkdir(parents=True, exist_ok=True, mode=0o700)
        key = secrets.token_hex(16)
        job = ReportJob(key, visit, name, self._clock(), file_of(self._folder, visit, key))
        with self._lock:
            self._sweep()
            self._jobs[key] = job
        # In the context of who asks, for the log.
        self._pool.submit(copy_context().run, self._run, job, write)
        return job

    def get(self, key: str) -> ReportJob | None:
        """A job that is running or whose file is still kept."""
        with self._lock:
            self._sweep()
            job = self._jobs.get(key)
            gone = job is not None and job.issued is not None and not job.file.exists()
            return None if gone else job

    def forget(self, visit: str) -> None:
        """Throw the reports on a visit away, of which something was erased."""
        with self._lock:
            for job in list(self._jobs.values()):
                if job.visit == visit and not job.running:
                    self._drop(job)

    def close(self) -> None:
        """Wait for what runs, and throw the files away."""
        self._pool.shutdown(wait=True, cancel_futures=True)
        shutil.rmtree(self._folder, ignore_errors=True)

    def _run(self, job: ReportJob, write: Callable[[Path, Progress], Issued]) -> None:
        def progress(step: str, share: float) -> None:
            job.step, job.share = step, share

        before = self._ordered().get(job.visit)
        try:
            issued = write(job.file, progress)
        except Exception as error:
            # The page says that it failed; the reason belongs into the log, not before a reader.
            note(logger, "report.failed", level=logging.ERROR, error=error, visit=job.visit)
            named = request_id()
            job.problem = (
                message("report-failed-why-request", request=named)
                if named
                else message("report-failed-why")
            )
        else:
            if self._ordered().get(job.visit) != before:
                job.file.unlink(missing_ok=True)
                job.problem = message("report-failed-erased")
            else:
                job.issued = issued

    def _sweep(self) -> None:
        finished = [job for job in self._jobs.values() if not job.running]
        finished.sort(key=lambda job: job.began_s)
        surplus = len(self._jobs) - MOST_KEPT
        for number, job in enumerate(finished):
            if number < surplus or self._clock() - job.began_s > KEPT_S:
                self._drop(job)

    def _drop(self, job: ReportJob) -> None:
        job.file.unlink(missing_ok=True)
        del self._jobs[job.id]
