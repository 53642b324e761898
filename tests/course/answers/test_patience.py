"""Work that never ends is stopped; work that ends is left alone.

That `_thread.interrupt_main` raises KeyboardInterrupt in the main thread: Python's documentation of `_thread`.
"""

import _thread
import math
import signal
import sys
import threading
import time
from contextlib import suppress

import numpy as np
import pytest

from cyclokit.course.answers import patience
from cyclokit.course.answers.patience import TookTooLong, within

SHORT = 0.2  # s
SOON = 5.0  # s: ten times what a loaded machine needs to notice an interrupt


def _for_ever():
    while True:
        pass


def _for_ever_in_numpy():
    while True:
        np.sin(np.ones(1000)).sum()


def _for_ever_with_errors_swallowed():
    while True:
        with suppress(ValueError):
            math.sqrt(-1)


def _for_ever_by_calling_itself():
    _for_ever_by_calling_itself()


def _swallows_the_interrupt_and_ends():
    try:
        _for_ever()
    except KeyboardInterrupt:
        return "done"


@pytest.mark.parametrize(
    "endless", [_for_ever, _for_ever_in_numpy, _for_ever_with_errors_swallowed, _swallows_the_interrupt_and_ends]
)
def test_what_never_ends_is_stopped(endless):
    begun = time.monotonic()
    with pytest.raises(TookTooLong):
        within(SHORT, endless)
    assert time.monotonic() - begun < SOON


@pytest.mark.parametrize("ignored", [signal.SIG_IGN, signal.SIG_DFL])
def test_what_never_ends_is_stopped_in_a_program_that_ignores_interrupts(ignored):
    """So Python is started in the background of a shell (POSIX, shell command language, asynchronous lists)."""
    before = signal.signal(signal.SIGINT, ignored)
    try:
        with pytest.raises(TookTooLong):
            within(SHORT, _for_ever)
        assert signal.getsignal(signal.SIGINT) == ignored
    finally:
        signal.signal(signal.SIGINT, before)


def test_no_interrupt_is_left_for_the_next_line():
    for _ in range(20):
        with pytest.raises(TookTooLong):
            within(0.01, _for_ever)
        time.sleep(0.02)  # an interrupt that came late would be raised here


def test_work_that_ends_as_its_time_is_over_is_either_done_or_stopped():
    for number in range(30):
        with suppress(TookTooLong):
            assert within(0.02, lambda number=number: time.sleep(0.0185 + number * 1e-4) or number) == number
        time.sleep(0.005)


def test_interrupts_that_come_as_the_work_ends_are_not_left_behind(monkeypatch):
    """They come without a pause here, so that many meet the lines that end the timer."""
    monkeypatch.setattr(patience, "AGAIN_AFTER", 0.0)
    monkeypatch.setattr(patience, "MOST_INTERRUPTS", 10_000)
    threads, before = threading.active_count(), sys.getswitchinterval()
    sys.setswitchinterval(1e-6)  # s: the two threads take turns as often as can be
    try:
        for _ in range(100):
            with suppress(TookTooLong):
                within(0.0, lambda: time.sleep(1e-4))
            assert threading.active_count() == threads, "a timer went on, and would interrupt whatever comes next"
    finally:
        sys.setswitchinterval(before)


def test_the_stop_button_stops_the_work_and_is_not_taken_for_the_end_of_its_time():
    with pytest.raises(KeyboardInterrupt):
        within(60, lambda: (_thread.interrupt_main(), _for_ever()))


def test_work_that_ends_gives_its_result():
    assert within(SHORT, lambda: 84.0) == 84.0


@pytest.mark.parametrize("error", [ValueError, SystemExit, KeyboardInterrupt, RecursionError])
def test_what_the_work_raises_is_passed_on(error):
    def work():
        raise error("from the work")

    with pytest.raises(error, match="from the work"):
        within(SHORT, work)


def test_endless_recursion_ends_by_itself():
    with pytest.raises(RecursionError):
        within(SOON, _for_ever_by_calling_itself)


def test_no_timer_is_left_behind():
    before = threading.active_count()
    for _ in range(50):
        within(60, lambda: None)
    time.sleep(0.05)
    assert threading.active_count() <= before


def _work(seconds):
    """Work for some processor time."""
    end = time.thread_time() + seconds
    while time.thread_time() < end:
        pass


def test_work_inside_other_work_has_a_share_of_its_own():
    assert within(0.4, lambda: [within(0.4, lambda: _work(0.2)) for _ in range(4)]) == [None] * 4
    with pytest.raises(TookTooLong):
        within(0.2, lambda: within(0.2, _for_ever))


@pytest.mark.skipif(not hasattr(time, "pthread_getcpuclockid"), reason="the system can't tell another thread's time")
def test_time_that_the_work_does_not_get_is_not_counted():
    assert within(0.3, lambda: time.sleep(0.5) or "done") == "done"  # as on a busy machine, where others are at work


def test_work_that_only_waits_is_stopped_by_the_clock():
    def waits():
        while True:
            time.sleep(0.01)

    with pytest.raises(TookTooLong):
        within(SHORT, waits)


def test_off_the_main_thread_the_work_is_done_without_a_limit():
    results = []
    thread = threading.Thread(target=lambda: results.append(within(0.001, lambda: time.sleep(0.05) or "done")))
    thread.start()
    thread.join(SOON)
    assert results == ["done"]
