"""What gunicorn needs mended, for deploy/gunicorn.conf.py; used in gunicorn's processes only."""

import os
import signal
from functools import partial

_STOPS = frozenset((signal.SIGINT, signal.SIGQUIT, signal.SIGTERM))
_hold = partial(signal.pthread_sigmask, signal.SIG_BLOCK, _STOPS)
#: Lets a new worker act on the signals held for it; called once it has its own handlers.
let_stops_through = partial(signal.pthread_sigmask, signal.SIG_UNBLOCK, _STOPS)


def hold_stops_while_forking() -> None:
    """Keep a signal to stop for the worker it is sent to.

    Between the fork and its own handlers a worker has the main process's, which do nothing there: a signal
    sent then was lost, and the stop waited the whole ``graceful_timeout`` before it killed the worker.
    """
    os.register_at_fork(before=_hold, after_in_parent=let_stops_through)
