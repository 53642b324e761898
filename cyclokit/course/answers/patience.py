"""Work that may never end, such as a reader's function: stopped after a while.

The while is processor time of the thread that works, where the system can tell it, so that a busy machine shortens
nobody's share; work that waits instead is stopped after a few times as long on the clock. A timer asks the main thread
to interrupt itself, as the stop button does. That sends no signal of the system's, so it works on Windows too. While
the work runs, an interrupt is heard as KeyboardInterrupt, also where Python was started in the background of a shell
and ignores it; before and after the work it is not heard, so none is left for the reader's next line. Whatever runs in
Python is stopped, an endless loop above all; what swallows every interrupt (a bare `except:` in a loop) is not, and
what works or waits outside Python, such as one regular expression or a sleep, only when it has come back.
"""

import _thread
import signal
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from functools import partial
from types import FrameType
from typing import Annotated, TypeVar

from cyclokit.arguments import checked_number
from cyclokit.signatures import read

Result = TypeVar("Result")
PATIENCE = 2.0  # s for reading one answer, and for each call of a function
ON_THE_CLOCK = 4  # times the processor time: after so long on the clock work is stopped that has done little
LEAST_WAIT = 0.01  # s between two looks at the processor time
AGAIN_AFTER = 0.5  # s: work that swallows an interrupt and goes on is interrupted again
MOST_INTERRUPTS = 20
Seconds = Annotated[float, partial(checked_number, least=0.0, most=86_400.0)]  # a day at most


_shares: list[Callable[[], None]] = []  # begins the share of the work under way anew; empty if there is none


class TookTooLong(Exception):
    """The work was stopped because its time was over."""


@read
def within(seconds: Seconds, work: Callable[[], Result]) -> Result:
    """The result of `work()`, if it comes in time; work inside other work begins a new share of that one's time.

    Parameters
    ----------
    seconds : float
        Processor time allowed [s]; off the main thread, which alone can be interrupted, it is not limited.
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
    if _shares:
        _shares[-1]()
        return work()
    ended, over, running = threading.Event(), False, False
    processor = _processor_clock()
    begun = processor(), time.monotonic()

    def anew() -> None:
        """Begin a new share."""
        nonlocal begun
        begun = processor(), time.monotonic()

    def left() -> float:
        """Time that the share still has [s]."""
        worked, waited = processor() - begun[0], time.monotonic() - begun[1]
        return seconds - max(worked, waited / ON_THE_CLOCK)

    def interrupt() -> None:
        """What the other thread does: it waits, and then interrupts until the work has ended."""
        nonlocal over
        while (wait := left()) > 0:
            if ended.wait(max(wait, LEAST_WAIT)):
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
        _shares.append(anew)
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
            _shares.pop()
            ended.set()
            timer.join()
    if over:  # the work ended as its time did, or swallowed the interrupt and ended all the same
        raise TookTooLong
    return result


def _processor_clock() -> Callable[[], float]:
    """Tells the processor time [s] of the thread that asks for it here; the clock's where the system can't tell it."""
    if not hasattr(time, "pthread_getcpuclockid"):
        return time.monotonic
    clock = time.pthread_getcpuclockid(threading.get_ident())
    return lambda: time.clock_gettime(clock)


@contextmanager
def _interrupts_go_to(handler: Callable[[int, FrameType | None], None]) -> Iterator[None]:
    """Hear interrupts for a while; Python handles those that are under way before it changes the handler."""
    before = signal.signal(signal.SIGINT, handler)
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, before)
