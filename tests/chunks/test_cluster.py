"""A cluster of dask.distributed does the same work, and may lose a worker."""

from __future__ import annotations

import os
import signal
import socket
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

import pytest

from lumsim.chunks import Crew, in_chunks
from lumsim.chunks import cluster as clustering
from lumsim.errors import InputError, LumsimError, StudyError
from tests.chunks.planes import bytes_of_plane
from tests.chunks.script import begun
from tests.chunks.trades import ROOT, Errand, lines, refused, refused_study, run_errand, squared, until
from tests.cli.called import SMALL, lumsim


@dataclass
class Cluster:
    """A scheduler and its workers, each a process."""

    address: str
    scheduler: subprocess.Popen[bytes]
    workers: list[subprocess.Popen[bytes]] = field(default_factory=list)

    def hire(self) -> None:
        """Start one more worker."""
        self.workers.append(
            _started("dask_worker", self.address, "--no-nanny", "--nthreads", "1", "--no-dashboard")
        )

    def end(self) -> None:
        """End all of it."""
        for process in (*self.workers, self.scheduler):
            process.kill()
            process.wait()


def _started(*arguments: str) -> subprocess.Popen[bytes]:
    module, *rest = arguments
    environment = {**os.environ, "PYTHONPATH": str(ROOT), "OPENBLAS_NUM_THREADS": "4", "OMP_NUM_THREADS": "4"}
    return subprocess.Popen(
        [sys.executable, "-W", "ignore", "-m", f"distributed.cli.{module}", *rest],
        cwd=ROOT,
        env=environment,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    )


def free_address() -> str:
    """Find an address on this machine at which nobody listens."""
    with socket.socket() as listening:
        listening.bind(("127.0.0.1", 0))
        return f"tcp://127.0.0.1:{listening.getsockname()[1]}"


def answers(address: str) -> bool:
    """Whether somebody listens there."""
    host, port = address.removeprefix("tcp://").split(":")
    with socket.socket() as asking:
        return asking.connect_ex((host, int(port))) == 0


def scheduled() -> Cluster:
    """Start a scheduler, without workers."""
    address = free_address()
    process = _started(
        "dask_scheduler", "--host", "127.0.0.1", "--port", address.split(":")[-1], "--no-dashboard"
    )
    whole = Cluster(address=address, scheduler=process)
    try:
        until(lambda: answers(address))
    except BaseException:
        whole.end()
        raise
    return whole


@pytest.fixture(scope="module")
def cluster() -> Iterator[Cluster]:
    """A scheduler with two workers of one thread, each a process of its own."""
    pytest.importorskip("distributed")
    whole = scheduled()
    try:
        whole.hire()
        whole.hire()
        yield whole
    finally:
        whole.end()


@pytest.fixture(scope="module")
def near() -> Iterator[str]:
    """Address of a scheduler and a worker that are threads of this process, which start in a moment."""
    distributed = pytest.importorskip("distributed")
    with distributed.LocalCluster(
        n_workers=1, threads_per_worker=1, processes=False, protocol="tcp://", host="127.0.0.1",
        dashboard_address=None,
    ) as threads:  # fmt: skip
        yield threads.scheduler_address


def test_a_cluster_within_this_process_gives_its_results(near: str) -> None:
    """A scheduler and a worker that are threads of this process do the work and tell of faults as any others do."""
    crew = Crew(scheduler=near)
    assert in_chunks(squared, [1, 2, 3], crew=crew).done == {0: 1, 1: 4, 2: 9}
    with pytest.raises(InputError, match=r"^2 is too many$"):
        in_chunks(refused, [1, 2, 3], crew=crew)


@pytest.mark.slow
def test_a_cluster_gives_the_bytes_that_one_process_gives(cluster: Cluster) -> None:
    """Rows of a plane and products of matrices are alike to the last byte, on workers with four threads for BLAS."""
    assert bytes_of_plane(Crew(scheduler=cluster.address)) == bytes_of_plane(Crew(processes=1))


def test_commands_print_by_a_cluster_what_they_print_by_one_process(near: str, tmp_path: Path) -> None:
    """The plane, the fewest, a tolerance and a folder of studies: the same documents, byte for byte."""
    study = tmp_path / "shop.toml"
    study.write_text(SMALL, encoding="utf-8")
    quick = ("--direct-only", "--json")
    plane = [f"search.plane.{key}=2" for key in ("pitch_count", "depth_count")]
    fewest = [f'search.fewest.{key}=["6 in", "8 in"]' for key in ("row_pitch", "module_pitch")]
    for command in (
        ("search", study, "--for", "plane", "--set", plane[0], "--set", plane[1], *quick),
        ("search", study, "--for", "modules", "--set", fewest[0], "--set", fewest[1], *quick),
        ("search", tmp_path, "--for", "depth", *quick),
        ("tolerance", study, "--signs", "30", "--set", "tolerance.flux_scatter=0.05", *quick),
    ):
        one = lumsim(*command, "--processes", "1")
        assert one.status in {0, 1}, one.err
        assert lumsim(*command, "--scheduler", near).out == one.out


@pytest.mark.slow
def test_what_a_part_refuses_comes_back_from_a_cluster(cluster: Cluster) -> None:
    """An InputError keeps its class and its words, and a StudyError its problems."""
    with pytest.raises(InputError, match=r"^2 is too many$"):
        in_chunks(refused, [1, 2, 3], crew=Crew(scheduler=cluster.address))
    with pytest.raises(StudyError, match=r"cabinet\.depth"):
        in_chunks(refused_study, [7], crew=Crew(scheduler=cluster.address))


@pytest.mark.slow
def test_workers_with_another_lumsim_are_refused(cluster: Cluster, monkeypatch: pytest.MonkeyPatch) -> None:
    """Both versions are told, and what to do."""
    monkeypatch.setattr(clustering, "release", lambda: "9.9.9 " + "0" * 64)
    with pytest.raises(
        InputError, match=r"another lumsim .* \(0\.1\.0, .* there, 9\.9\.9, source 00000000 here\)"
    ):
        in_chunks(refused, [1], crew=Crew(scheduler=cluster.address))


@pytest.mark.slow
def test_ctrl_c_takes_the_work_back_from_a_cluster(cluster: Cluster, tmp_path: Path) -> None:
    """What is done is given back, what was not begun never is, and nothing is said on stderr."""
    running = begun("errands", tmp_path, 8, 0.4, "", cluster.address)
    until(lambda: bool(lines(tmp_path, "begun", 3)))
    time.sleep(0.2)  # results take a moment over the net
    os.killpg(running.pid, signal.SIGINT)
    out, err = running.communicate(timeout=300)
    assert (running.returncode, err) == (0, "")
    assert out.startswith("False 0")
    time.sleep(1)
    assert not lines(tmp_path, "begun", 7)


@pytest.mark.slow
def test_a_worker_of_a_cluster_that_is_killed_loses_nothing(cluster: Cluster, tmp_path: Path) -> None:
    """One of two workers killed half-way through a part: the other does that one too, and all are there."""
    parts = [Errand(number=number, folder=tmp_path, seconds=0.4) for number in range(6)]

    def kill() -> None:
        until(lambda: bool(lines(tmp_path, "begun", 2)))
        time.sleep(0.2)  # what a worker finished and nobody fetched yet would be lost with it, and done again
        os.kill(lines(tmp_path, "begun", 2)[0], signal.SIGKILL)

    killer = threading.Thread(target=kill)
    killer.start()
    chunks = in_chunks(run_errand, parts, crew=Crew(scheduler=cluster.address))
    killer.join()
    cluster.hire()
    assert chunks.finished
    assert [square for square, _ in chunks.done.values()] == [0, 1, 4, 9, 16, 25]
    assert len(lines(tmp_path, "begun", 2)) == 2
    assert [len(lines(tmp_path, "ended", number)) for number in range(6)] == [1] * 6


def test_a_scheduler_that_does_not_answer_is_told_soon(monkeypatch: pytest.MonkeyPatch) -> None:
    """Nobody listening, or no address at all, ends in words, after no more than a little over the patience for it."""
    pytest.importorskip("distributed")
    assert clustering.PATIENCE <= 10
    monkeypatch.setattr(clustering, "PATIENCE", 1)
    begun_at = time.monotonic()
    with pytest.raises(InputError, match=r"no dask scheduler answers at tcp://127\.0\.0\.1"):
        in_chunks(refused, [1], crew=Crew(scheduler=free_address()))
    assert time.monotonic() - begun_at < 60
    with pytest.raises(InputError, match="no dask scheduler answers at carrier-pigeon"):
        in_chunks(refused, [1], crew=Crew(scheduler="carrier-pigeon://nowhere"))


def test_a_scheduler_without_workers_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    """Work that nobody would ever do is not waited for: the command that starts a worker is told."""
    pytest.importorskip("distributed")
    monkeypatch.setattr(clustering, "PATIENCE", 1)
    alone = scheduled()
    try:
        with pytest.raises(
            InputError, match=rf"has no workers: start some with `dask worker {alone.address}`"
        ):
            in_chunks(refused, [1], crew=Crew(scheduler=alone.address))
    finally:
        alone.end()


@pytest.mark.slow
def test_a_scheduler_that_is_lost_is_told(tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """Killed half-way, it ends the work in words and nothing else; what was finished is kept."""
    pytest.importorskip("distributed")
    whole = scheduled()
    whole.hire()

    def kill() -> None:
        until(lambda: bool(lines(tmp_path, "begun", 2)))
        time.sleep(0.2)
        whole.scheduler.kill()

    killer = threading.Thread(target=kill)
    killer.start()
    try:
        with pytest.raises(
            LumsimError, match="or the connection to it was lost: begin again when it is there"
        ):
            in_chunks(
                run_errand,
                [Errand(number=number, folder=tmp_path, seconds=0.5) for number in range(9)],
                crew=Crew(scheduler=whole.address, kept=tmp_path / "kept"),
            )
    finally:
        killer.join()
        whole.end()
    assert len(list((tmp_path / "kept").iterdir())) == 2
    assert capfd.readouterr().err == ""


def test_without_distributed_the_extra_is_named(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where the package is missing, the command that installs it is told."""
    monkeypatch.setattr("importlib.util.find_spec", lambda name: None)
    with pytest.raises(LumsimError, match=r'pip install "lumsim\[cluster\]"'):
        in_chunks(refused, [1], crew=Crew(scheduler="tcp://10.0.0.5:8786"))
