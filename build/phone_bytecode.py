"""Bytecode for the phone, made by the phone's own Python on Node.

Node is the one inside Playwright, which the test environment has, or one on the path.
"""

import importlib.util
import os
import shutil
import subprocess
import tempfile
from collections.abc import Mapping
from pathlib import Path


class NoNode(Exception):
    """There is no Node to run the phone's Python on."""


def compiled(files: Mapping[str, bytes], *, pyodide: Path, ours: Path) -> dict[str, bytes]:
    """The files, with bytecode for sources. Raises NoNode, or RuntimeError where compiling fails."""
    with tempfile.TemporaryDirectory() as scratch:
        folder = Path(scratch)
        for name, content in files.items():
            (folder / name).parent.mkdir(parents=True, exist_ok=True)
            (folder / name).write_bytes(content)
        command = [node(), str(ours / "compile.mjs"), str(pyodide), str(folder), str(ours / "compile.py")]
        done = subprocess.run(command, capture_output=True, text=True, check=False)
        if done.returncode:
            raise RuntimeError(f"the packaged Python could not compile:\n{done.stdout}")
        found = (path for path in sorted(folder.rglob("*")) if path.is_file())
        return {path.relative_to(folder).as_posix(): path.read_bytes() for path in found}


def node() -> str:
    """The path of a Node. Raises NoNode."""
    playwright = importlib.util.find_spec("playwright")
    if playwright is not None and playwright.origin is not None:
        carried = Path(playwright.origin).parent / "driver" / ("node.exe" if os.name == "nt" else "node")
        if carried.exists():
            return str(carried)
    found = shutil.which("node")
    if found is None:
        raise NoNode("no Node, neither inside Playwright nor on the path: the test environment brings one")
    return found
