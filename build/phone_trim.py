"""Takes what the phone never runs out of the wheels and the standard library, and gathers all licences."""

import re
from collections.abc import Mapping
from fnmatch import fnmatch
from pathlib import Path

import flet_web

# Tools for developers, servers, and a copy of an earlier version for old callers.
NOT_OF_WHEELS = (
    "tzdata/zoneinfo/*.zi", "tzdata/zoneinfo/*.tab", "tzdata/zoneinfo/leapseconds",
    "flet/testing/*", "flet/fastapi/*", "flet/cli.py", "flet/pytest_plugin.py", "flet/utils/griffe_*",
    "flet/messaging/flet_socket_server.py", "flet/messaging/flet_dart_bridge_server.py", "pydantic/v1/*",
    "pydantic/mypy.py", "pydantic/_hypothesis_plugin.py", "*.pyi", "*.c", "*.pyx", "*.pxd", "*/py.typed",
    "bin/*", "*.dist-info/RECORD", "*.dist-info/WHEEL", "*.dist-info/INSTALLER", "*.dist-info/top_level.txt",
    "*.dist-info/sboms/*", "*.dist-info/entry_points.txt",
)  # fmt: skip
LICENCE = re.compile(r"\.dist-info/(licenses/.*|(LICEN[CS]E|COPYING|NOTICE|AUTHORS)[^/]*)$", re.IGNORECASE)

# Windows and terminals, other processes and servers, debuggers and testers, mail, old character sets, what C
# code does here, and what nothing of ours imports.
NOT_OF_LIBRARY = (
    "_pyrepl/*", "_aix_support.py", "_android_support.py", "_apple_support.py", "_ios_support.py",
    "_osx_support.py", "_pydecimal.py", "_pyio.py", "_sitebuiltins_win.py", "antigravity.py", "bdb.py",
    "cProfile.py", "cmd.py", "code.py", "doctest.py", "ensurepip/*", "ftplib.py", "idlelib/*", "imaplib.py",
    "mailbox.py", "msilib/*", "multiprocessing/*", "nturl2path.py", "optparse.py", "pdb.py",
    "pickletools.py", "plistlib.py", "poplib.py", "profile.py", "profiling/*", "pstats.py", "pty.py",
    "pyclbr.py", "pydoc.py", "pydoc_data/*", "smtplib.py", "socketserver.py", "sqlite3/*", "tabnanny.py",
    "this.py", "timeit.py", "trace.py", "tracemalloc.py", "turtle*", "unittest/*", "venv/*", "wave.py",
    "wsgiref/*", "xmlrpc/*", "zipapp.py", "lib2to3/*", "tkinter/*", "curses/*", "dbm/*", "test/*",
    "__hello__.py", "__phello__/*", "_py_abc.py", "_pydatetime.py", "asyncio/__main__.py",
    "asyncio/tools.py", "asyncio/windows_*", "colorsys.py", "compileall.py",
    "concurrent/futures/interpreter.py", "concurrent/futures/process.py", "configparser.py", "ctypes/*",
    "difflib.py", "filecmp.py", "fileinput.py", "getopt.py", "getpass.py", "http/cookiejar.py",
    "http/cookies.py", "http/server.py", "logging/config.py", "logging/handlers.py", "modulefinder.py",
    "netrc.py", "py_compile.py", "rlcompleter.py", "sched.py", "shelve.py", "sre_*.py", "symtable.py",
    "tomllib/*", "tty.py", "xml/dom/*",
)  # fmt: skip
ENCODINGS = frozenset((
    "__init__", "aliases", "ascii", "latin_1", "utf_8", "utf_8_sig", "utf_16", "utf_16_le", "utf_16_be",
    "utf_32", "cp437", "cp1252", "idna", "punycode", "raw_unicode_escape", "unicode_escape",
))  # fmt: skip


def trimmed_wheel(files: Mapping[str, bytes]) -> dict[str, bytes]:
    """The files of the wheels that are used, by path in the archive. Metadata keeps its head only."""
    kept = {
        name: content
        for name, content in files.items()
        if not _matches(name.partition("/")[2], NOT_OF_WHEELS) and not LICENCE.search(name)
    }
    return {name: _head(content) if name.endswith("METADATA") else content for name, content in kept.items()}


def licences(files: Mapping[str, bytes]) -> dict[str, bytes]:
    """The licences in the wheels."""
    return {name: content for name, content in files.items() if LICENCE.search(name)}


def client_licences() -> dict[str, bytes]:
    """The licences of what the web client and the phone's Python are made of."""
    notices = Path(flet_web.get_package_web_dir()) / "assets" / "NOTICES"
    python = Path(__file__).parent / "web" / "python-licence.txt"
    return {"web client": notices.read_bytes(), "Python and Pyodide": python.read_bytes()}


def write_licences(target: Path, found: Mapping[str, bytes]) -> None:
    """Writes them all into one file."""
    rule = "\n" + "=" * 80 + "\n"
    parts = (f"{name}\n\n{found[name].decode('utf-8', 'replace')}" for name in sorted(found))
    target.write_text(rule.join(parts), encoding="utf-8")


def trimmed_library(files: Mapping[str, bytes]) -> dict[str, bytes]:
    """The modules of the standard library that may be used on a phone."""
    return {name: content for name, content in files.items() if _is_of_use(name)}


def _is_of_use(name: str) -> bool:
    if name.startswith("encodings/"):
        return name.removeprefix("encodings/").removesuffix(".py") in ENCODINGS
    return not name.endswith("/") and not _matches(name, NOT_OF_LIBRARY)


def _matches(name: str, patterns: tuple[str, ...]) -> bool:
    return any(fnmatch(name, pattern) for pattern in patterns)


def _head(metadata: bytes) -> bytes:
    """Name and version, without the long description after the first empty line."""
    return metadata.split(b"\n\n")[0] + b"\n"
