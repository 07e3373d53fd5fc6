"""Dask's workers: a scheduler that runs already, or one on this machine alone, and a shard's work done by them.

A shard whose worker dies is given to another by Dask. One that fails is tried again; one that takes far longer than the
others is tried beside the first try, and what is done first counts. When that has been done often enough, the run stops
and names the shard. Knows nothing of what the work is.
"""

import re
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager, suppress
from statistics import median
from typing import TYPE_CHECKING, NamedTuple

from fleetreport.cluster.on_a_shard import Done, Job, OtherVersion, work_on
from fleetreport.problem import CannotReadOrWrite, WrongCall

if TYPE_CHECKING:
    from distributed import Client, Future

LOCAL = re.compile(r"local:([1-9]\d{0,2})")
ADDRESS = re.compile(r"(\w+://)?[^\s/]+:\d{1,5}")
ANSWERS_WITHIN = 15  # seconds
LOOKS_EVERY, COUNTS_EVERY = 0.05, 1.0  # seconds
# Dask's own warnings are for who runs a cluster; what a person must know is told by us.
QUIET = {"distributed.scheduler.allowed-failures": 3, "distributed.admin.low-level-log-length": 0}


class Patience(NamedTuple):
    """How often a shard is tried, and when another try is begun beside one that takes long.

    A try may take `at_least` seconds, and `times` as long as the middle one of those done in its round; before any is
    done, `first` seconds. It is timed from when there is a thread for every shard left. Without any worker the run
    waits `alone` seconds.
    """

    tries: int = 3
    at_least: float = 600
    times: float = 5
    first: float = 6 * 3600
    alone: float = 300


USUAL = Patience()


@contextmanager
def workers(address: str) -> Iterator["Client"]:
    """Connect to a scheduler, or start one: `local:4` is one with four workers, reached from this machine only.

    Raises WrongCall for an address that is none, or where Dask is not installed, and CannotReadOrWrite where nobody
    answers.
    """
    local = LOCAL.fullmatch(address)
    if not local and not ADDRESS.fullmatch(address):
        raise WrongCall(f'--cluster: found "{address}", expected local:N, or an address such as tcp://10.0.0.5:8786')
    try:
        import dask
        from distributed import Client, LocalCluster
    except ImportError as error:
        raise WrongCall(
            f"--cluster: Dask cannot be loaded: {error}", help="pip install 'fleetreport[cluster]' brings it"
        ) from None
    if not local:
        try:
            client = Client(address, timeout=ANSWERS_WITHIN, set_as_default=False)
        except (OSError, ValueError, RuntimeError) as error:
            raise CannotReadOrWrite(f"--cluster {address}: no scheduler answers there: {_first_line(error)}") from None
        with client:
            yield client
        return
    with (
        dask.config.set(QUIET),
        LocalCluster(int(local[1]), threads_per_worker=1, host="127.0.0.1", dashboard_address=None,
                     worker_dashboard_address=None, silence_logs=50) as cluster,
        Client(cluster, set_as_default=False) as client,
    ):  # fmt: skip
        yield client


def on_workers(
    client: "Client",
    jobs: Sequence[Job],
    tell: Callable[[Done], None] = lambda done: None,
    patience: Patience = USUAL,
    work: Callable[[Job], Done] = work_on,
) -> list[Done]:
    """Have every job done, and give what came of them in their order.

    `tell` is told of each as it is done. Raises CannotReadOrWrite naming the shard that failed or hung to the last try.
    """
    race = _Race(client, work, patience, len(jobs))
    try:
        for job in jobs:
            race.start(job)
        while len(race.done) < len(jobs):
            time.sleep(LOOKS_EVERY)
            for done in race.take_in():
                tell(done)
            race.look_at_slow_ones()
        return [race.done[job.shard] for job in jobs]
    finally:
        race.give_up()


class _Try(NamedTuple):
    job: Job
    since: float


class _Race:
    """The tries under way, and what is done."""

    def __init__(self, client: "Client", work: Callable[[Job], Done], patience: Patience, shards: int) -> None:
        self.client, self.work, self.patience, self.shards = client, work, patience, shards
        self.under_way: dict[Future[Done], _Try] = {}
        self.tries: dict[int, int] = {}
        self.done: dict[int, Done] = {}
        self.room_since: float | None = None
        self.worker_seen = self.counted = time.monotonic()

    def start(self, job: Job) -> None:
        """Begin a try."""
        self.tries[job.shard] = number = self.tries.get(job.shard, 0) + 1
        now = time.monotonic()
        # Not pure, and with a key of its own: a second try is another task, which the first one's result is not for.
        future = self.client.submit(self.work, job, pure=False, key=f"shard-{job.shard}-try-{number}-{time.time_ns()}")
        self.under_way[future] = _Try(job, now)

    def take_in(self) -> Iterator[Done]:
        """What is done now; what failed is begun anew. Raises CannotReadOrWrite."""
        for future, tried in [item for item in self.under_way.items() if item[0].done()]:
            del self.under_way[future]
            shard = tried.job.shard
            if shard in self.done:
                continue
            if future.status == "finished":
                self.done[shard] = future.result()
                yield self.done[shard]
            elif self.client.status != "running":
                raise CannotReadOrWrite("the scheduler does not answer any more", help="run this again")
            elif not self._others_try(shard):
                self._again(tried.job, _why(future))

    def look_at_slow_ones(self) -> None:
        """Begin another try beside those that take too long. Raises CannotReadOrWrite."""
        now = time.monotonic()
        if now - self.counted >= COUNTS_EVERY:
            self._count_threads(now)
        if self.room_since is None:
            return
        limit = self._limit()
        for shard in {tried.job.shard for tried in self.under_way.values()} - set(self.done):
            last = max((tried for tried in self.under_way.values() if tried.job.shard == shard), key=lambda t: t.since)
            if now - max(self.room_since, last.since) > limit:
                self._again(last.job, f"took more than {limit:,.0f} s, far longer than the others")

    def give_up(self) -> None:
        """Leave nothing under way."""
        with suppress(Exception):
            self.client.cancel(list(self.under_way))

    def _again(self, job: Job, why: str) -> None:
        if self.tries[job.shard] >= self.patience.tries:
            raise CannotReadOrWrite(
                f"shard {job.shard} of {self.shards} (0 is the first): tried {self.patience.tries} times: {why}",
                help="its vehicles are those whose id falls to it, see shards.json; the guide cluster says what helps",
            )
        self.start(job)

    def _others_try(self, shard: int) -> bool:
        return any(tried.job.shard == shard for tried in self.under_way.values())

    def _count_threads(self, now: float) -> None:
        threads = sum(self.client.nthreads().values())
        self.counted = now
        if threads:
            self.worker_seen = now
        elif now - self.worker_seen > self.patience.alone:
            raise CannotReadOrWrite(f"the scheduler has had no worker for {self.patience.alone:,.0f} s")
        left = len({tried.job.shard for tried in self.under_way.values()} - set(self.done))
        self.room_since = (self.room_since or now) if left <= threads else None

    def _limit(self) -> float:
        if not self.done:
            return self.patience.first
        return max(self.patience.at_least, self.patience.times * median(one.seconds for one in self.done.values()))


def _why(future: "Future[Done]") -> str:
    """Why a try failed, in a line. Raises CannotReadOrWrite where another try would fail alike."""
    error = future.exception()
    if isinstance(error, OtherVersion):
        raise CannotReadOrWrite(f"--cluster: {error}", help="install the same versions on every machine")
    if error is None or type(error).__name__ == "KilledWorker":
        return "every worker that had it died: of too little memory, or of what its readings do to the program"
    return f"{type(error).__name__}: {_first_line(error)}"


def _first_line(error: BaseException) -> str:
    return (str(error).splitlines() or [type(error).__name__])[0]
