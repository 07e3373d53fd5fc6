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
from uuid import uuid4

from fleetreport.cluster.on_a_shard import Done, Job, OtherVersion, work_on
from fleetreport.problem import CannotReadOrWrite, WrongCall

if TYPE_CHECKING:
    from distributed import Client, Future

LOCAL = re.compile(r"local:([1-9]\d{0,2})")
ADDRESS = re.compile(r"(\w+://)?[^\s/]+:\d{1,5}")
ANSWERS_WITHIN = 15  # seconds
LOOKS_EVERY, COUNTS_EVERY = 0.05, 1.0  # seconds
# No task waits at a worker that is busy, while another is free.
SETTINGS = {"distributed.scheduler.allowed-failures": 3, "distributed.scheduler.worker-saturation": 1.0}


class Patience(NamedTuple):
    """How often a shard is tried, and when another try is begun beside one that takes long.

    A try may take `at_least` seconds, and `times` as long as the middle one of those done in its round; before any is
    done, `first` seconds. Without any worker the run waits `alone` seconds.
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
        dask.config.set(SETTINGS),
        LocalCluster(int(local[1]), threads_per_worker=1, host="127.0.0.1", dashboard_address=None,
                     worker_dashboard_address=None, silence_logs=50,
                     # Its health is asked for on a port, too: any that is free, for another cluster may run here.
                     scheduler_kwargs={"dashboard_address": "127.0.0.1:0"}) as cluster,
        Client(cluster, set_as_default=False) as client,
    ):  # fmt: skip
        yield client


class Crew:
    """The workers of a run, and the tries that it no longer waits for."""

    def __init__(self, client: "Client", work: Callable[[Job], Done] = work_on, patience: Patience = USUAL) -> None:
        self.client, self.work, self.patience = client, work, patience
        # Kept, so that the scheduler knows the worker as busy for as long as it hangs.
        self.left_behind: list[Future[Done]] = []

    def have_done(self, jobs: Sequence[Job], tell: Callable[[Done], None] = lambda done: None) -> list[Done]:
        """Have every job done, and give what came of them in their order.

        `tell` is told of each as it is done. Raises CannotReadOrWrite naming the shard that failed or hung to the last
        try.
        """
        topic = f"fleetreport-{uuid4().hex}"
        race = _Race(self, topic, len(jobs))
        self.client.subscribe_topic(topic, race.hear)
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
            self.left_behind += race.under_way
            with suppress(Exception):
                self.client.unsubscribe_topic(topic)


class _Race:
    """The tries of a round that are under way, and what is done."""

    def __init__(self, crew: Crew, topic: str, shards: int) -> None:
        self.crew, self.topic, self.shards = crew, topic, shards
        self.under_way: dict[Future[Done], Job] = {}
        self.tries: dict[int, int] = {}
        self.done: dict[int, Done] = {}
        # When each shard was last begun by a worker, and when anything was last begun or done.
        self.begun: dict[int, float] = {}
        self.moved = self.worker_seen = self.counted = time.monotonic()

    def start(self, job: Job) -> None:
        """Hand a try to the scheduler."""
        self.tries[job.shard] = number = self.tries.get(job.shard, 0) + 1
        # Not pure, and with a key of its own: a second try is another task, which the first one's result is not for.
        key = f"shard-{job.shard}-try-{number}-{uuid4().hex}"
        future = self.crew.client.submit(_tell_and_do, self.crew.work, job, self.topic, pure=False, key=key)
        self.under_way[future] = job

    def hear(self, event: tuple[object, int]) -> None:
        """A worker begins a try."""
        self.begun[event[1]] = self.moved = time.monotonic()

    def take_in(self) -> Iterator[Done]:
        """What is done now; what failed is begun anew. Raises CannotReadOrWrite."""
        for future, job in [item for item in self.under_way.items() if item[0].done()]:
            del self.under_way[future]
            if job.shard in self.done:
                continue
            if future.status == "finished":
                self.done[job.shard] = future.result()
                self.moved = time.monotonic()
                yield self.done[job.shard]
            elif self.crew.client.status != "running":
                raise CannotReadOrWrite("the scheduler does not answer any more", help="run this again")
            elif job.shard not in {other.shard for other in self.under_way.values()}:
                self.begun.pop(job.shard, None)
                self._again(job, _why(future))

    def look_at_slow_ones(self) -> None:
        """Begin another try beside those that take too long. Raises CannotReadOrWrite."""
        now = time.monotonic()
        if now - self.counted >= COUNTS_EVERY:
            self._look_for_workers(now)
        limit = self._limit()
        for job in {job.shard: job for job in self.under_way.values() if job.shard not in self.done}.values():
            # What was never begun stands behind something that hangs, once nothing moves.
            if now - self.begun.get(job.shard, self.moved) > limit:
                self.begun[job.shard] = now
                self._again(job, f"took more than {limit:,.0f} s, far longer than the others")

    def _again(self, job: Job, why: str) -> None:
        if self.tries[job.shard] >= self.crew.patience.tries:
            raise CannotReadOrWrite(
                f"shard {job.shard} of {self.shards} (0 is the first): tried {self.crew.patience.tries} times: {why}",
                help='the guide "cluster" says what helps, and which vehicles a shard holds',
            )
        self.start(job)

    def _look_for_workers(self, now: float) -> None:
        self.counted = now
        if sum(self.crew.client.nthreads().values()):
            self.worker_seen = now
        elif now - self.worker_seen > self.crew.patience.alone:
            raise CannotReadOrWrite(f"the scheduler has had no worker for {self.crew.patience.alone:,.0f} s")

    def _limit(self) -> float:
        patience = self.crew.patience
        if not self.done:
            return patience.first
        return max(patience.at_least, patience.times * median(one.seconds for one in self.done.values()))


def _tell_and_do(work: Callable[[Job], Done], job: Job, topic: str) -> Done:
    """Run on a worker: tell the run that the try begins, so that the time it waited does not count."""
    from distributed import get_worker

    get_worker().log_event(topic, job.shard)
    return work(job)


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
