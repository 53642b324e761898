"""Work that may never end, such as a reader's function: stopped after a while.

A timer asks the main thread to interrupt itself, as the stop button does. That sends no signal of the
system's, so it works on Windows too. While the work runs, an interrupt is heard as KeyboardInterrupt, also where
Python was started in the background of a shell and ignores it; before and after the work it is not heard, so none
is left for the reader's next line. Whatever runs in Python is stopped, an endless loop above all; what swallows
every interrupt (a bare `except:` in a loop) or waits outside Python is not.
"""

import _thread
import signal
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from types import FrameType
from typing import TypeVar

Result = TypeVar("Result")
AGAIN_AFTER = 0.5  # s: work that swallows an interrupt and goes on is interrupted again
MOST_INTERRUPTS = 20


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
    ended, over, running = threading.Event(), False, False

    def interrupt() -> None:
        """What the other thread does: it waits, and then interrupts until the work has ended."""
        nonlocal over
        if ended.wait(seconds):
            return
        over = True
        for _ in range(MOST_INTERRUPTS):
            _thread.interrupt_main()
            if ended.wait(AGAIN_AFTER):
                return

    def on_interrupt(signal_number: int, frame: FrameType | None) -> None:
        """Stop the work, and nothing else: an interrupt that meets a line of `within` itself is dropped."""
        if running and frame is not None and frame.f_code is not within.__code__:
            raise KeyboardInterrupt

    timer = threading.Thread(target=interrupt, daemon=True)
    with _interrupts_go_to(on_interrupt):
        timer.start()
        try:
            running = True
            result = work()
        except BaseException:
            if over:
                raise TookTooLong from None
            raise
        finally:
            running = False
            ended.set()
            timer.join()
    if over:  # the work ended as its time did, or swallowed the interrupt and ended all the same
        raise TookTooLong
    return result


@contextmanager
def _interrupts_go_to(handler: Callable[[int, FrameType | None], None]) -> Iterator[None]:
    """Hear interrupts for a while; Python handles those that are under way before it changes the handler."""
    before = signal.signal(signal.SIGINT, handler)
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, before)
