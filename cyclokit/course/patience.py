"""Work that may never end, such as a reader's function: stopped after a while.

A timer asks the main thread to interrupt itself, as the stop button does. That sends no signal of the
system's, so it works on Windows too; but Python must be listening, which it doesn't where it was started in the
background of a shell. It stops whatever runs in Python, an endless loop above all; it
does not stop what swallows interrupts (a bare `except:` in a loop) or waits outside Python (`sleep`).
"""

import _thread
import signal
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import TypeVar

Result = TypeVar("Result")
AGAIN_AFTER = 0.5  # s: work that swallows an interrupt and goes on is interrupted again
MOST_INTERRUPTS = 20
ARRIVES_WITHIN = 0.2  # s: an interrupt that was asked for comes with the next few steps of Python


class TookTooLong(Exception):
    """The work was stopped because its time was over."""


def within(seconds: float, work: Callable[[], Result]) -> Result:
    """The result of `work()`, if it comes in time.

    Parameters
    ----------
    seconds : float
        Time allowed [s]; off the main thread, which alone can be interrupted, it is not limited.
    work : callable
        Called without arguments; what it raises is passed on.

    Returns
    -------
    object
        What `work` returned.

    Raises
    ------
    TookTooLong
        If it was stopped.
    """
    if threading.current_thread() is not threading.main_thread():
        return work()
    ended, stopped = threading.Event(), threading.Event()

    def interrupt() -> None:
        """What the other thread does: it waits, and then interrupts until the work has ended."""
        if ended.wait(seconds):
            return
        stopped.set()
        for _ in range(MOST_INTERRUPTS):
            _thread.interrupt_main()
            if ended.wait(AGAIN_AFTER):
                return

    timer = threading.Thread(target=interrupt, daemon=True)
    try:
        with _listening():
            timer.start()
            try:
                result = work()
            finally:
                _end(timer, ended)
                if stopped.is_set():
                    _wait_for_interrupt()
    except BaseException:
        if stopped.is_set():
            raise TookTooLong from None
        raise
    if stopped.is_set():  # the work swallowed the interrupt, and ended all the same
        raise TookTooLong
    return result


@contextmanager
def _listening() -> Iterator[None]:
    """See to it that an interrupt arrives as KeyboardInterrupt, also in a program that ignores it."""
    before = signal.getsignal(signal.SIGINT)
    deaf = before in (signal.SIG_IGN, signal.SIG_DFL)
    if deaf:
        signal.signal(signal.SIGINT, signal.default_int_handler)
    try:
        yield
    finally:
        if deaf:
            signal.signal(signal.SIGINT, before)


def _end(timer: threading.Thread, ended: threading.Event) -> None:
    """End the timer's thread, whatever interrupts arrive meanwhile."""
    while timer.is_alive():
        try:
            ended.set()
            timer.join()
        except KeyboardInterrupt:
            continue


def _wait_for_interrupt() -> None:
    """Let an interrupt that is under way arrive here, and not in the reader's next line."""
    end = time.monotonic() + ARRIVES_WITHIN
    try:
        while time.monotonic() < end:
            time.sleep(0.01)
    except KeyboardInterrupt:
        return
