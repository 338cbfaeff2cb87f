"""The list of a build's files, from which the service worker keeps a whole version, and packed copies."""

import gzip
import hashlib
import importlib
import importlib.util
import json
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

LIST = "files.json"
NOT_KEPT = frozenset({"sw.js", LIST, "licences.txt"})
"""The browser itself keeps the service worker; licences are read from the host."""
FIRST = (
    "python-worker.js", "python-start.js", "python-memory.js", "pyodide/pyodide.mjs",
    "pyodide/pyodide.asm.mjs", "flutter_bootstrap.js", "main.dart.js", "pyodide/pyodide.asm.wasm",
    "canvaskit/canvaskit.js", "canvaskit/canvaskit.wasm", "pyodide/python_stdlib.zip", "app.tar",
)  # fmt: skip
"""What the start waits for, in the order of its requests."""
PACKABLE = frozenset(
    {".html", ".js", ".mjs", ".json", ".wasm", ".svg", ".otf", ".txt", ".bin", ".frag", ".zip", ".tar"}
)

WORTHWHILE = 0.95
BROTLI_QUALITY = 10  # a tenth smaller than with 9; 11 takes many times as long


def write_list(out: Path) -> str:
    """Writes the list of all files with their digests. Returns the name of the version."""
    files = {path.relative_to(out).as_posix(): path for path in sorted(out.rglob("*")) if path.is_file()}
    names = [name for name in FIRST if name in files]
    names += [name for name in files if name not in FIRST]
    listed = {name: _entry(files[name]) for name in names if name not in NOT_KEPT}
    version = hashlib.sha256(json.dumps(listed).encode()).hexdigest()[:16]
    text = json.dumps({"version": version, "files": listed}, indent=1)
    (out / LIST).write_text(text, encoding="utf-8")
    return version


def _entry(path: Path) -> dict[str, str | int]:
    content = path.read_bytes()
    return {"sha256": hashlib.sha256(content).hexdigest(), "bytes": len(content)}


def pack(out: Path) -> None:
    """Writes a packed copy beside each file that gains from it, for hosts that send those.

    Packs with gzip, and with Brotli where the package is installed.
    """
    files = [path for path in sorted(out.rglob("*")) if path.is_file() and path.suffix in PACKABLE]
    with ThreadPoolExecutor() as pool:  # packing releases Python's lock
        list(pool.map(_pack, files))


def _pack(path: Path) -> None:
    content = path.read_bytes()
    for suffix, packed in _packed(content):
        if len(packed) < len(content) * WORTHWHILE:
            path.with_name(path.name + suffix).write_bytes(packed)


def _packed(content: bytes) -> Iterator[tuple[str, bytes]]:
    yield ".gz", gzip.compress(content, 9, mtime=0)
    if importlib.util.find_spec("brotli") is not None:
        yield ".br", importlib.import_module("brotli").compress(content, quality=BROTLI_QUALITY)
