"""Work in threads: results in order, errors passed on, whatever the number of threads."""

import threading

import pytest

from tankside.field.threads import MOST_THREADS, in_threads, meanwhile, thread_count


@pytest.mark.parametrize("threads", [1, 2, 7])
def test_results_come_in_the_order_of_the_parts(threads: int) -> None:
    assert list(in_threads(lambda part: part * part, range(40), threads)) == [
        part * part for part in range(40)
    ]


@pytest.mark.parametrize("threads", [1, 3])
def test_errors_are_raised_where_the_result_would_be(threads: int) -> None:
    def work(part: int) -> int:
        if part == 5:
            raise ValueError("part 5")
        return part

    seen = []
    with pytest.raises(ValueError, match="part 5"):
        seen.extend(in_threads(work, range(10), threads))
    results = in_threads(work, range(10), threads)
    assert [next(results) for _ in range(5)] == [0, 1, 2, 3, 4]
    results.close()  # type: ignore[attr-defined]


def test_several_threads_do_the_work() -> None:
    meeting = threading.Barrier(2, timeout=20)
    assert list(in_threads(lambda part: meeting.wait() >= 0, range(2), 2)) == [True, True]


def test_no_parts_no_work() -> None:
    assert list(in_threads(lambda part: part, [])) == []


def test_at_least_one_thread_and_not_too_many() -> None:
    assert 1 <= thread_count() <= MOST_THREADS


def test_work_goes_on_meanwhile_and_its_error_comes_with_its_result() -> None:
    begun, go_on = threading.Event(), threading.Event()

    def work() -> int:
        begun.set()
        go_on.wait(20)
        raise ValueError("no result")

    result = meanwhile(work)
    assert begun.wait(20)
    go_on.set()
    with pytest.raises(ValueError, match="no result"):
        result()
    assert meanwhile(lambda: 7)() == 7
