"""Whether a process can take more calls: not while the service stops, nor while calls wait long for a thread.

A load balancer that asks /readyz then sends its calls to another instance.
"""

from flask import Response

from scaldloaf.http.problems import KINDS, problem
from scaldloaf.operations.faults import Fault

FULL_S = 2.0  # a call that waits this long for a thread shows that there are too many
AGAIN_S = 5  # Retry-After


def is_stopping() -> bool:
    """Whether the service has been told to stop; deploy/gunicorn.conf.py sets its own here."""
    return False


def longest_wait_s() -> float:
    """How long a call has been waiting for a thread; deploy/gunicorn.conf.py sets the worker's own here."""
    return 0.0


def refusal() -> Response | None:
    """503 with the reason, if this process should get no more calls."""
    if is_stopping():
        fault = Fault(
            "", "stopping", "the service is stopping; send calls to another instance, or again soon"
        )
    elif longest_wait_s() >= FULL_S:
        fault = Fault("", "full", "all threads are taken and calls wait for one; send fewer at a time")
    else:
        return None
    return problem(KINDS["unavailable"], fault.detail, [fault], {"Retry-After": str(AGAIN_S)})
