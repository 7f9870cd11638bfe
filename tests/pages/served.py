"""A workshop's pages served from a thread on a free port, for a real browser."""

from __future__ import annotations

import socket
import threading
from collections.abc import Iterator
from contextlib import contextmanager

import uvicorn

from powergood.bench import Workshop
from powergood.web import create_app


@contextmanager
def served(workshop: Workshop) -> Iterator[str]:
    """Serve the workshop while the block runs; gives its address."""
    listener = socket.create_server(("127.0.0.1", 0))
    config = uvicorn.Config(create_app(workshop), log_level="error", access_log=False, lifespan="off")
    server = uvicorn.Server(config)
    thread = threading.Thread(target=server.run, kwargs={"sockets": [listener]}, daemon=True)
    thread.start()
    try:
        yield f"http://127.0.0.1:{listener.getsockname()[1]}"
    finally:
        server.should_exit = True
        thread.join(timeout=10)
        listener.close()
