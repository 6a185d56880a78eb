"""A relay between a client and the service that fails as networks do."""

import socket
import threading
from collections.abc import Callable
from contextlib import suppress
from urllib.parse import urlsplit

from running import until


def _end(connection: socket.socket, how: int) -> None:
    with suppress(OSError):  # the other side may have closed it already
        connection.shutdown(how)


class Relay:
    """Passes bytes both ways. The first connections meet the ``faults``, in order; later ones meet none.

    A fault is bytes to answer with instead of asking the service, or a number of bytes of the answer after
    which the connection is cut.

    hold: (bytes, condition): after so many bytes of the first request the rest waits for the condition;
    ``released`` is whether it came true.
    """

    def __init__(self, url: str, *faults: bytes | int, hold: tuple[int, Callable[[], object]] | None = None):
        self._hold, self.released = hold, None
        where = urlsplit(url)
        self._service, self._faults = (where.hostname, where.port), list(faults)
        self._listener = socket.create_server(("127.0.0.1", 0))
        if hold:
            # Bytes that wait for the relay must not look sent. A small buffer would do that too, but drops
            # what doesn't fit, and with it, now and then, the notice that the other side has room again.
            self._listener.setsockopt(socket.IPPROTO_TCP, socket.TCP_WINDOW_CLAMP, 131_072)
        self.url = f"http://127.0.0.1:{self._listener.getsockname()[1]}"
        self.connections = 0
        self._threads = [threading.Thread(target=self._accept, daemon=True)]

    def __enter__(self) -> "Relay":
        self._threads[0].start()
        return self

    def __exit__(self, *_) -> None:
        self._listener.shutdown(socket.SHUT_RDWR)
        self._listener.close()
        for thread in self._threads:
            thread.join(60)
            assert not thread.is_alive()

    def _accept(self) -> None:
        while True:
            try:
                client, _ = self._listener.accept()
            except OSError:
                return
            self.connections += 1
            fault = self._faults.pop(0) if self._faults else None
            self._threads.append(threading.Thread(target=self._serve, args=(client, fault), daemon=True))
            self._threads[-1].start()

    def _serve(self, client: socket.socket, fault: bytes | int | None) -> None:
        with client:
            if isinstance(fault, bytes):
                client.recv(65536)
                client.sendall(fault)
                client.shutdown(socket.SHUT_WR)
                while client.recv(65536):  # closing with bytes unread would reset the connection
                    pass
                return
            with socket.create_connection(self._service) as service:
                asking = threading.Thread(target=self._pass, args=(client, service, None), daemon=True)
                asking.start()
                cut = self._pass(service, client, fault)
                # An answer may end while its caller still sends. Closing then would lose the answer.
                _end(client, socket.SHUT_RDWR if cut else socket.SHUT_WR)
                if not cut:
                    asking.join()
                _end(service, socket.SHUT_RDWR)
                asking.join()

    def _pass(self, source: socket.socket, target: socket.socket, most: int | None) -> bool:
        """Whether this connection was cut."""
        answering = threading.current_thread() in self._threads
        passed = 0
        try:
            while data := source.recv(65536):
                if most is not None and passed + len(data) >= most:
                    target.sendall(data[: most - passed])
                    return True
                target.sendall(data)
                passed += len(data)
                if not answering and self._hold and passed > self._hold[0]:
                    look, self._hold, self.released = self._hold[1], None, False
                    until(look)
                    self.released = True
            if not answering:
                target.shutdown(socket.SHUT_WR)
        except AssertionError:
            _end(target, socket.SHUT_RDWR)  # the condition did not come true in time
            return True
        except OSError:
            return True  # one side hung up
        return False
