"""Work in chunks gives one answer, whoever does it, and says how far it is."""

from __future__ import annotations

import pickle
from pathlib import Path

import pytest

from lumsim.chunks import Chunks, Crew, in_chunks
from lumsim.errors import InputError, StudyError
from lumsim.search.plane import plane_row
from tests.chunks.planes import small_plane
from tests.chunks.script import printed
from tests.chunks.trades import (
    Errand,
    at_fault,
    at_strange_fault,
    not_to_be_sent,
    refused,
    refused_study,
    run_errand,
    squared,
    threads_told,
)

CREWS = [Crew(processes=1), Crew(processes=2)]


@pytest.mark.parametrize("size", ["small", pytest.param("large", marks=pytest.mark.slow)])
def test_one_process_and_two_give_the_same_bytes_however_many_threads_there_are(size: str) -> None:
    """Rows of a plane and products of matrices are alike to the last byte, in a process with four threads for BLAS."""
    one, two = printed("same_bytes", size, OPENBLAS_NUM_THREADS="4", OMP_NUM_THREADS="4").split()
    assert one == two


def test_a_chunk_is_what_the_work_alone_returns() -> None:
    """Each part's result is what calling the function returns, under the part's number."""
    parts = small_plane()
    chunks = in_chunks(plane_row, parts[:2], crew=Crew(processes=1))
    assert chunks == Chunks(done=dict(enumerate(plane_row(part) for part in parts[:2])), finished=True)


@pytest.mark.parametrize("crew", CREWS)
def test_results_come_by_number_whatever_is_finished_first(crew: Crew) -> None:
    """The first part takes longest; results stand in the order of the parts all the same."""
    parts = [Errand(number=number, seconds=0.3 if number == 0 else 0) for number in range(4)]
    chunks = in_chunks(run_errand, parts, crew=crew)
    assert [(number, square) for number, (square, _) in chunks.done.items()] == [
        (0, 0),
        (1, 1),
        (2, 4),
        (3, 9),
    ]


def test_local_work_is_shared_by_all_processes_and_begun_in_order(tmp_path: Path) -> None:
    """Two processes do four parts, each at least one; the first two are begun first."""
    # Neither of the first two ends before the other one is begun, so that both processes are there.
    awaited = ("begun-1", "begun-0", "", "")
    parts = [
        Errand(number=number, folder=tmp_path, awaits=awaited[number], seconds=0.1) for number in range(4)
    ]
    chunks = in_chunks(run_errand, parts, crew=Crew(processes=2))
    assert len({who for _, who in chunks.done.values()}) == 2
    times = [(tmp_path / f"begun-{number}").stat().st_mtime for number in range(4)]
    assert max(times[:2]) < min(times[2:])


@pytest.mark.parametrize("crew", CREWS)
@pytest.mark.parametrize("slow", [0, 3])
def test_no_more_parts_count_than_are_enough(crew: Crew, slow: int) -> None:
    """Where squares up to 4 are enough, the first three parts are the answer, in whatever order they end."""
    parts = [Errand(number=number, seconds=0.3 if number == slow else 0) for number in range(8)]
    chunks = in_chunks(
        run_errand, parts, crew=crew, enough=lambda first: any(square >= 4 for square, _ in first)
    )
    assert chunks.finished
    assert [square for square, _ in chunks.done.values()] == [0, 1, 4]


def test_parts_that_are_not_needed_are_not_begun(tmp_path: Path) -> None:
    """Alone, nothing is begun beyond what is enough, and nothing at all where none are needed."""
    parts = [Errand(number=number, folder=tmp_path) for number in range(4)]
    alone = Crew(processes=1)
    assert in_chunks(run_errand, parts, crew=alone, enough=lambda first: True).done == {}
    assert len(in_chunks(run_errand, parts, crew=alone, enough=lambda first: len(first) == 2).done) == 2
    assert sorted(file.name for file in tmp_path.glob("begun-*")) == ["begun-0", "begun-1"]


def test_workers_have_one_thread_each() -> None:
    """What libraries look at as they are loaded is set to one in a worker, and as it was here."""
    before = threads_told(0)
    assert in_chunks(threads_told, [0, 1], crew=Crew(processes=2)).done == {0: ("1", "1"), 1: ("1", "1")}
    assert threads_told(0) == before


@pytest.mark.parametrize("crew", CREWS)
def test_progress_is_told_after_each_part(crew: Crew) -> None:
    """The share only rises, to 1, and the words count the parts by their name."""
    told: list[tuple[float, str]] = []
    in_chunks(
        squared,
        [1, 2, 3, 4],
        crew=crew,
        progress=lambda share, text: told.append((share, text)),
        what="study",
    )
    assert told == [
        (0.25, "1 of 4 studies"),
        (0.5, "2 of 4 studies"),
        (0.75, "3 of 4 studies"),
        (1.0, "4 of 4 studies"),
    ]


@pytest.mark.parametrize(
    ("what", "count", "several"),
    [("depth", 2, "depths"), ("bay", 2, "bays"), ("box", 2, "boxes"), ("built sign", 1, "built sign")],
)
def test_parts_are_counted_in_plain_words(what: str, count: int, several: str) -> None:
    """The name of a part is put in the plural where there are several."""
    told: list[str] = []
    in_chunks(
        squared,
        list(range(count)),
        crew=Crew(processes=1),
        progress=lambda share, text: told.append(text),
        what=what,
    )
    assert told[-1] == f"{count} of {count} {several}"


@pytest.mark.parametrize("crew", CREWS)
def test_no_parts_are_no_work(crew: Crew) -> None:
    """Of nothing to do, nothing is done and that is all."""
    assert in_chunks(squared, [], crew=crew) == Chunks(done={}, finished=True)


@pytest.mark.parametrize("crew", CREWS)
def test_what_a_part_refuses_comes_back_as_it_was_raised(crew: Crew) -> None:
    """An InputError keeps its class and its words, and a StudyError its problems."""
    with pytest.raises(InputError, match=r"^2 is too many$"):
        in_chunks(refused, [1, 2, 3], crew=crew)
    with pytest.raises(StudyError) as raised:
        in_chunks(refused_study, [7], crew=crew)
    assert [problem.key for problem in raised.value.problems] == ["cabinet.depth"]
    assert str(raised.value) == "shop.toml, line 7: cabinet.depth: must be above 0"


def test_a_study_error_is_pickled_by_its_problems() -> None:
    """Read back from its pickle a StudyError is the same."""
    with pytest.raises(StudyError) as raised:
        refused_study(3)
    again = pickle.loads(pickle.dumps(raised.value))
    assert (type(again), again.problems, str(again)) == (StudyError, raised.value.problems, str(raised.value))


def test_a_fault_in_a_worker_tells_where_it_was() -> None:
    """An exception that is not lumsim's own carries the worker's traceback; one that cannot be sent is told."""
    with pytest.raises(ZeroDivisionError) as raised:
        in_chunks(at_fault, [1, 2], crew=Crew(processes=2))
    assert any("in at_fault" in note for note in raised.value.__notes__)
    with pytest.raises(RuntimeError, match="TwoWordsError: strange fault"):
        in_chunks(at_strange_fault, [1, 2], crew=Crew(processes=2))
    with pytest.raises((AttributeError, pickle.PicklingError), match="not_to_be_sent"):
        in_chunks(not_to_be_sent, [1, 2], crew=Crew(processes=2))


def test_a_crew_that_cannot_be_is_refused() -> None:
    """No processes, or both processes and a scheduler, are told with what would be right."""
    with pytest.raises(InputError, match="0 processes do no work: give 1 or more"):
        Crew(processes=0)
    with pytest.raises(InputError, match="give one of the two"):
        Crew(processes=2, scheduler="tcp://10.0.0.5:8786")
