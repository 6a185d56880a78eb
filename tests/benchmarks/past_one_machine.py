"""How many machines for how many calls a second, and by what balancer: a simulation of queues.

    python tests/benchmarks/past_one_machine.py [--calls 200000] [--measure]

Calls arrive by chance (Poisson) and are sent to pods by a balancer: at random, in turn (round robin), to the
pod with the fewest calls in progress of two drawn at random, or of all pods. Of several balancers each knows
only its own calls. A pod has two workers with one queue, as the kernel gives a call to a worker that is free.
Same seed, same figures.

The simulation is first held to what is known of queues: M/D/1 (Pollaczek and Khinchine), M/M/c (Erlang's C),
and the mean time in the system of many queues with the shorter of two drawn (Mitzenmacher 2001; Vvedenskaya,
Dobrushin and Karpelevich 1996). If it disagrees, the command ends with status 1.

--measure asks a service on loopback for the processor time of each kind of call, which other programs on the
machine hardly change, and takes these in place of COSTS_MS. Figures go to results/past_one_machine.json.
"""

import argparse
import heapq
import http.client
import json
import math
import os
import random
import statistics
import sys
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import partial
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
RESULTS = Path(__file__).parent / "results" / "past_one_machine.json"
SEED = 35

WORKERS = 2  # of a pod, on as many cores
BUSY = 0.7  # the share of processor time at which the autoscaler adds pods
# Processor time of a worker for one call, all of it: kernel, gunicorn, reading, computing, writing. That of a
# scaling is from faults.py options in a quiet moment; a plan was measured on a busy machine, as 3.9 scalings.
COSTS_MS = {"scaling": 0.36, "loaf-plan": 1.4, "heaviest": 50.0}
# A till asks for a scaling, a page for a plan; the heaviest request that the bounds allow is rare.
MIX = {"scaling": 0.9, "loaf-plan": 0.099, "heaviest": 0.001}
RATES = (1_000, 10_000, 100_000)
A_BALANCER = 20_000  # calls a second that one balancer passes on


@dataclass(frozen=True)
class Balancer:
    """How a balancer chooses: of ``draws`` pods, drawn at random, that with the fewest calls; 0: in turn."""

    name: str
    draws: int


AT_RANDOM, IN_TURN, OF_TWO = Balancer("random", 1), Balancer("round robin", 0), Balancer("two choices", 2)
OF_ALL = Balancer("least of all", 10**9)
POLICIES = (AT_RANDOM, IN_TURN, OF_TWO, OF_ALL)


class Pods:
    """Pods with their queues, seen by balancers that know only what they sent themselves."""

    def __init__(self, pods: int, workers: int, balancers: int):
        self.free_at = [[0.0] * workers for _ in range(pods)]  # heaps
        self.ends: list[list[list[float]]] = [[[] for _ in range(pods)] for _ in range(balancers)]  # heaps

    def in_progress(self, balancer: int, pod: int, now: float) -> int:
        ends = self.ends[balancer][pod]
        while ends and ends[0] <= now:
            heapq.heappop(ends)
        return len(ends)

    def serve(self, balancer: int, pod: int, now: float, service: float) -> float:
        """The wait of a call in the pod's queue."""
        begins = max(now, self.free_at[pod][0])
        heapq.heapreplace(self.free_at[pod], begins + service)
        heapq.heappush(self.ends[balancer][pod], begins + service)
        return begins - now


def simulate(
    rate: float,
    services: Callable[[random.Random], float],
    policy: Balancer,
    pods: int,
    calls: int,
    workers: int = WORKERS,
    balancers: int = 1,
) -> Iterator[tuple[float, float]]:
    """Wait and service of each call in seconds, after a tenth that fills the queues."""
    chance = random.Random(SEED)
    state, now, turns = Pods(pods, workers, balancers), 0.0, [0] * balancers
    for number in range(calls):
        now += chance.expovariate(rate)
        service = services(chance)
        balancer = chance.randrange(balancers) if balancers > 1 else 0
        if policy.draws == 0:
            pod = turns[balancer] = (turns[balancer] + 1) % pods
        elif policy.draws == 1:
            pod = chance.randrange(pods)
        else:
            # Of equals the first, so the order is by chance, too.
            if policy.draws < pods:
                drawn = chance.sample(range(pods), policy.draws)
            else:
                first = chance.randrange(pods)
                drawn = [*range(first, pods), *range(first)]
            pod = min(drawn, key=lambda pod: state.in_progress(balancer, pod, now))
        wait = state.serve(balancer, pod, now, service)
        if number >= calls // 10:
            yield wait, service


def mixed(costs_ms: dict[str, float], chance: random.Random) -> float:
    (name,) = chance.choices(list(MIX), list(MIX.values()))
    return costs_ms[name] / 1000


def constant(_: random.Random) -> float:
    return 1.0


def exponential(chance: random.Random) -> float:
    return chance.expovariate(1.0)


# What is known of queues: the mean wait, or time in the system, for a mean service of 1.


def wait_m_d_1(busy: float) -> float:
    return busy / (2 * (1 - busy))


def wait_m_m_c(busy: float, servers: int) -> float:
    """Erlang's C over the rate at which a full queue empties."""
    load, term, total = busy * servers, 1.0, 0.0
    for number in range(servers):
        total += term
        term *= load / (number + 1)
    waiting = term / (1 - busy) / (total + term / (1 - busy))
    return waiting / (servers * (1 - busy))


def time_of_two_choices(busy: float) -> float:
    """In the limit of many queues: the sum of busy^(2^i - 2) over i from 1."""
    return sum(busy ** (2**i - 2) for i in range(1, 12))


def checks(calls: int) -> list[tuple[str, float, float]]:
    """Name, mean of the simulation, and what it should be."""

    def mean_wait(*args, **more) -> float:
        return statistics.fmean(wait for wait, _ in simulate(*args, calls=calls, **more))

    return [
        # Calls sent at random to ten pods of one worker are ten queues of their own.
        *(
            (
                f"M/D/1 at {busy:.0%}",
                mean_wait(10 * busy, constant, AT_RANDOM, 10, workers=1),
                wait_m_d_1(busy),
            )
            for busy in (0.5, 0.7)
        ),
        *(
            (
                f"M/M/{servers} at {busy:.0%}",
                mean_wait(servers * busy, exponential, AT_RANDOM, 1, workers=servers),
                wait_m_m_c(busy, servers),
            )
            for busy, servers in ((0.5, 1), (0.7, 2), (0.8, 8))
        ),
        (
            "the shorter of two queues, of 100, at 70%",
            1 + mean_wait(70, exponential, OF_TWO, 100, workers=1),
            time_of_two_choices(0.7),
        ),
    ]


def measured_ms(calls: int = 2000) -> dict[str, float]:
    """Processor time of a worker for one call of each kind, on a connection that is kept alive."""
    sys.path[:0] = [str(ROOT / "tests"), str(ROOT / "api")]
    from running import TalkingService
    from scaldloaf.operations.lantern_quay import THREE_TINS, TIN_LOAF

    asked = {
        "scaling": {"formula": TIN_LOAF, "target": {"kind": "dough_mass", "mass": 1200}},
        "loaf-plan": THREE_TINS,
    }
    found = {"heaviest": COSTS_MS["heaviest"]}  # what tests/contract/test_heavy.py aims at
    with TalkingService(SCALDLOAF_WORKERS="1") as service:
        pid = service.process.pid
        worker = int(Path(f"/proc/{pid}/task/{pid}/children").read_text())
        connection = http.client.HTTPConnection("127.0.0.1", int(service.url.rpartition(":")[2]), timeout=60)
        for name, request in asked.items():
            body = json.dumps(request)
            for count in (200, calls):  # the first warm it up
                before = spent_s(worker)
                for _ in range(count):
                    connection.request(
                        "POST", f"/v1/{name}?show=result", body, {"Content-Type": "application/json"}
                    )
                    reply = connection.getresponse()
                    reply.read()
                    assert reply.status == 200
                found[name] = (spent_s(worker) - before) / count * 1000
        connection.close()
    return found


def spent_s(pid: int) -> float:
    fields = Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()
    return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")


def pods_for(rate: float, mean_s: float) -> int:
    """Pods that are busy at most BUSY of the time while one of them, or a tenth of them, is missing."""
    needed = math.ceil(rate * mean_s / WORKERS / BUSY)
    return needed + math.ceil(needed / 10)


def plan(rate: int, costs_ms: dict[str, float], calls: int) -> list[dict]:
    """Each policy with all pods, and with those that are left when a tenth of them is missing."""
    mean_s = sum(MIX[name] * costs_ms[name] for name in MIX) / 1000
    pods, balancers = pods_for(rate, mean_s), max(2, math.ceil(rate / A_BALANCER) + 1)
    rows = []
    for left in (pods, pods - max(1, round(pods / 11))):
        for policy in POLICIES:
            took = sorted(
                wait + service
                for wait, service in simulate(
                    rate, partial(mixed, costs_ms), policy, left, calls, balancers=balancers
                )
            )
            rows.append(
                {
                    "rate": rate,
                    "pods": left,
                    "balancers": balancers,
                    "policy": policy.name,
                    "busy": rate * mean_s / WORKERS / left,
                    **{
                        name: took[int(len(took) * part)] * 1000
                        for name, part in (("p50_ms", 0.5), ("p99_ms", 0.99), ("p999_ms", 0.999))
                    },
                }
            )
    return rows


def main() -> None:
    arguments = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    arguments.add_argument("--calls", type=int, default=200_000, help="of each simulation")
    arguments.add_argument("--measure", action="store_true", help="measure the cost of calls now")
    given = arguments.parse_args()
    wrong = []
    for name, seen, known in checks(given.calls):
        print(f"{name}: {seen:.4f}, known {known:.4f} ({seen / known - 1:+.1%})")
        if abs(seen / known - 1) > 0.05:
            wrong.append(name)
    costs = measured_ms() if given.measure else COSTS_MS
    print(
        "cost of a call: "
        + ", ".join(f"{name} {cost:.2f} ms ({MIX[name]:.1%})" for name, cost in costs.items())
    )
    rows = [row for rate in RATES for row in plan(rate, costs, given.calls)]
    for row in rows:
        print(
            "{rate:7} calls/s, {pods:3} pods, {balancers} balancers, {policy:12}: busy {busy:.0%}, "
            "median {p50_ms:.2f} ms, p99 {p99_ms:.1f} ms, p99.9 {p999_ms:.1f} ms".format(**row)
        )
    RESULTS.parent.mkdir(exist_ok=True)
    RESULTS.write_text(json.dumps({"costs_ms": costs, "rows": rows}, indent=1) + "\n")
    if wrong:
        sys.exit("Not as known of queues: " + "; ".join(wrong))


if __name__ == "__main__":
    main()
