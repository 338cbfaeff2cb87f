"""The offline build for tests, and two servers on 127.0.0.1: one serves it, one records what would leave."""

import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field
from functools import partial
from http.server import BaseHTTPRequestHandler, SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from socket import SHUT_RDWR, socket
from threading import Thread
from typing import Any

from places import ROOT

# Browsers refuse module scripts and streamed WebAssembly under any other type; the machine's own table of
# types is not asked, because it differs from one machine to the next.
TYPES = {
    ".css": "text/css",
    ".gz": "application/gzip",
    ".html": "text/html; charset=utf-8",
    ".js": "text/javascript",
    ".json": "application/json",
    ".mjs": "text/javascript",
    ".otf": "font/otf",
    ".png": "image/png",
    ".svg": "image/svg+xml",
    ".tar": "application/x-tar",
    ".ttf": "font/ttf",
    ".wasm": "application/wasm",
    ".woff2": "font/woff2",
    ".zip": "application/zip",
}


@dataclass
class Sent:
    """How much a server has sent, without headers."""

    body_bytes: int = 0


class _Folder(SimpleHTTPRequestHandler):
    """Serves one folder as a plain static host would: no route falls back to the page."""

    extensions_map = {"": "application/octet-stream", **TYPES}
    protocol_version = "HTTP/1.1"

    def __init__(self, sent: "Sent", *arguments: object, directory: str) -> None:
        self.sent = sent
        super().__init__(*arguments, directory=directory)  # type: ignore[arg-type]

    def send_head(self):  # type: ignore[no-untyped-def]
        """Sends the compressed copy of a file if the browser takes it."""
        packed = Path(self.translate_path(self.path) + ".br")
        if "br" not in self.headers.get("Accept-Encoding", "") or not packed.is_file():
            return super().send_head()
        self.send_response(200)
        self.send_header("Content-Type", self.guess_type(self.path.partition("?")[0]))
        self.send_header("Content-Encoding", "br")
        self.send_header("Content-Length", str(packed.stat().st_size))
        self.end_headers()
        return packed.open("rb")

    def copyfile(self, source, outputfile):  # type: ignore[no-untyped-def]
        content = source.read()
        self.sent.body_bytes += len(content)
        outputfile.write(content)

    def log_message(self, *_: object) -> None:
        """Keep the test's output to what the test says."""


@dataclass
class OutsideRequests:
    """The requests of the browser beyond this machine, as method and address."""

    seen: list[str] = field(default_factory=list)


class _Refusal(BaseHTTPRequestHandler):
    """A proxy that lets nothing through and records what was asked for."""

    def __init__(self, outside: OutsideRequests, *arguments: object) -> None:
        self.outside = outside
        super().__init__(*arguments)  # type: ignore[arg-type]

    def _refuse(self) -> None:
        self.outside.seen.append(f"{self.command} {self.path}")
        self.send_error(502, "nothing outside this machine is reached")

    do_CONNECT = do_GET = do_HEAD = do_POST = do_OPTIONS = _refuse  # named by the base class

    def log_message(self, *_: object) -> None:
        """Keep the test's output to what the test says."""


def build_phone(out: Path, *more: str) -> None:
    """Assembles the build at ``out``, to be served at /app/."""
    command = [
        sys.executable,
        str(ROOT / "build" / "phone.py"),
        "--out",
        str(out),
        "--base-url",
        "/app/",
        *more,
    ]
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr


@contextmanager
def serve_folder(folder: Path, sent: Sent | None = None, *, port: int = 0) -> Iterator[str]:
    """Serves a folder at a port, 0 for a free one; yields the address without a trailing slash."""
    handler = partial(_Folder, sent or Sent(), directory=str(folder))
    with _running(_Server(("127.0.0.1", port), handler)) as address:
        yield address


@contextmanager
def refuse_outside(outside: OutsideRequests) -> Iterator[str]:
    """Runs the refusing proxy on a free port; yields its address."""
    with _running(_Server(("127.0.0.1", 0), partial(_Refusal, outside))) as address:
        yield address


class _Server(ThreadingHTTPServer):
    """A server that goes away with every connection that a browser keeps open."""

    daemon_threads = True

    def __init__(self, *arguments: Any) -> None:
        self._open: set[socket] = set()
        super().__init__(*arguments)

    def process_request(self, request: Any, client_address: Any) -> None:
        self._open.add(request)
        super().process_request(request, client_address)

    def shutdown_request(self, request: Any) -> None:
        self._open.discard(request)
        super().shutdown_request(request)

    def server_close(self) -> None:
        super().server_close()
        for one in tuple(self._open):
            with suppress(OSError):  # it has just been closed
                one.shutdown(SHUT_RDWR)

    def handle_error(self, request: Any, client_address: Any) -> None:
        """A connection that breaks off is nothing to tell of."""
        if not isinstance(sys.exception(), ConnectionError):
            super().handle_error(request, client_address)


@contextmanager
def _running(server: ThreadingHTTPServer) -> Iterator[str]:
    thread = Thread(target=server.serve_forever, kwargs={"poll_interval": 0.05}, daemon=True)
    thread.start()
    try:
        yield f"http://127.0.0.1:{server.server_address[1]}"
    finally:
        server.shutdown()
        server.server_close()
        thread.join()
