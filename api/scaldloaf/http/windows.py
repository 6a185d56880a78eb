"""Moving windows of the ``limits`` library, without the wall clock.

The library reads the machine's wall clock. If the clock is set back by hours, a client must wait for hours;
if it is set forward, the limit has no effect; and machines that share a Redis may have different clocks. So
windows in memory use the process's monotonic clock, and windows in Redis the clock of Redis. Imported only
with a rate limit.
"""

import time
from typing import Any

from limits.storage import MemoryStorage, RedisStorage, memory
from limits.strategies import MovingWindowRateLimiter

REDIS_TIMEOUT_S = 0.2


class _Monotonic:
    """Replaces the module ``time`` in the library's memory storage, whose clock cannot be configured."""

    @staticmethod
    def time() -> float:
        return time.monotonic()


setattr(memory, "time", _Monotonic)  # noqa: B010 - no attribute of the library's interface


class _RedisByItsOwnClock(RedisStorage):
    """Windows in Redis by the clock of Redis, which is the same for all machines.

    The library's script takes the time as its first argument; here the script reads it from Redis. An entry
    from the future means that the clock of Redis was set back: the client's entries are then deleted, as they
    would count for too long.
    """

    SCRIPT_ACQUIRE_MOVING_WINDOW = (
        b"""
        local clock = redis.call('TIME')
        ARGV[1] = clock[1] + clock[2] / 1000000
        local newest = redis.call('LINDEX', KEYS[1], 0)
        if newest and tonumber(newest) > ARGV[1] then
            redis.call('DEL', KEYS[1])
        end
    """
        + RedisStorage.SCRIPT_ACQUIRE_MOVING_WINDOW
    )

    def get_moving_window(self, key: str, limit: int, expiry: int) -> tuple[float, int]:
        """When the window began, by this process's monotonic clock, and how many requests it has."""
        connection: Any = self.get_connection()
        seconds, microseconds = connection.time()
        now, here = seconds + microseconds / 1e6, time.monotonic()
        window = self.lua_moving_window([self.prefixed_key(key)], [now - expiry, limit])
        return (here - now + float(window[0]), window[1]) if window else (here, 0)


def in_memory() -> MovingWindowRateLimiter:
    """Windows of this process."""
    return MovingWindowRateLimiter(MemoryStorage())


def in_redis(url: str) -> MovingWindowRateLimiter:
    """Windows shared by all that use the Redis at ``url``."""
    from redis.backoff import NoBackoff
    from redis.retry import Retry

    options: dict[str, Any] = {
        "retry": Retry(NoBackoff(), 0),
        "socket_timeout": REDIS_TIMEOUT_S,
        "socket_connect_timeout": REDIS_TIMEOUT_S,
    }
    return MovingWindowRateLimiter(_RedisByItsOwnClock(url, key_prefix="scaldloaf", **options))
