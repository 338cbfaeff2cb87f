"""Everything a developer does, needing nothing but Python:

python3 build/dev.py run      opens the application in the browser
python3 build/dev.py test     brings what the tests need and runs every check and test
python3 build/dev.py check    style, types and layers alone
python3 build/dev.py bench NAME
python3 build/dev.py phone    assembles the offline phone build in dist/phone/
python3 build/dev.py lock     resolves the dependencies again and writes build/locks/
"""

import argparse
import os
import shutil
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path

if sys.version_info < (3, 11):  # noqa: UP036 - this file is started with whatever Python there is
    sys.exit("The session companion needs Python 3.11 or newer.")

from environment import ROOT, in_environment, lock_all, prepare

CLIENT = {"FLET_WEB_NO_CDN": "1", "FLET_WEB_RENDERER": "canvaskit", "FLET_FORCE_WEB_SERVER": "1"}
CHECKS = (
    ("ruff", "check", "."),
    ("ruff", "format", "--check", "."),
    ("mypy",),
    ("lint-imports",),
)


def call(command: Sequence[str], **more: str) -> int:
    """Runs a command in the checkout with the project's environment first on the path; its exit code."""
    return subprocess.run(command, cwd=ROOT, env=in_environment() | CLIENT | more, check=False).returncode


def run(options: argparse.Namespace) -> int:
    """Opens the application: in the browser, or in Flet's desktop client."""
    prepare("window" if options.window else "run")
    command = ["python", "-m", "companion.app", "--port", str(options.port)]
    command += [f"--{name}" for name in ("window", "demo") if getattr(options, name)]
    command += ["--no-open"] if options.no_open else []
    command += ["--data", options.data] if options.data else []
    return call(command)


def check(_: argparse.Namespace) -> int:
    prepare("test")
    return max(call(command) for command in CHECKS)


def test(options: argparse.Namespace) -> int:
    """Checks, then every test; a browser test that was skipped is a failure."""
    prepare("test")
    bring_chromium()
    if not options.only and check(options):
        return 1
    return call(["python", "-m", "pytest", *options.arguments], NOTHING_SKIPPED="1")


def bring_chromium() -> None:
    """Installs Debian's Chromium (and Node.js for the phone's Python) where the package manager may be used."""
    wanted = [package for package, command in (("chromium", "chromium"), ("nodejs", "node")) if not shutil.which(command)]
    if not wanted:
        return
    if shutil.which("apt-get") is None or os.geteuid() != 0:
        sys.exit(f"The browser tests need {' and '.join(wanted)}: install them and try again.")
    quiet = {"check": True, "stdout": subprocess.DEVNULL}
    environment = os.environ | {"DEBIAN_FRONTEND": "noninteractive"}
    subprocess.run(["apt-get", "update", "-qq"], env=environment, **quiet)
    subprocess.run(["apt-get", "install", "-y", "-qq", *wanted], env=environment, **quiet)


def bench(options: argparse.Namespace) -> int:
    """Runs one bench: a table, and one JSON object of figures as the last line."""
    script = ROOT / "tests" / "bench" / f"{options.name}.py"
    if not script.is_file():
        known = ", ".join(sorted(path.stem for path in script.parent.glob("[a-z]*.py")))
        print(f"There is no bench “{options.name}”; there is {known}.", file=sys.stderr)
        return 2
    prepare("test")
    return call(["python", str(script)], PYTHONPATH=str(ROOT))


def phone(options: argparse.Namespace) -> int:
    prepare("run")
    return call(["python", "build/phone.py", *options.arguments])


def lock(_: argparse.Namespace) -> int:
    lock_all()
    return 0


def setup(options: argparse.Namespace) -> int:
    prepare("test" if options.test else "run")
    return 0


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(description="Run, test, measure and package the session companion.")
    commands = parser.add_subparsers(required=True, metavar="COMMAND")
    command = commands.add_parser("run", help="open the application in the browser")
    command.add_argument("--window", action="store_true", help="in Flet's desktop client, which it downloads once")
    command.add_argument("--demo", action="store_true", help="with eight invented weeks, in a folder of their own")
    command.add_argument("--port", type=int, default=0, help="0 takes a free one")
    command.add_argument("--no-open", action="store_true", help="print the address and open nothing")
    command.add_argument("--data", metavar="FOLDER", help="where the records are kept")
    command.set_defaults(does=run)
    command = commands.add_parser("test", help="run every check and test; more arguments go to pytest")
    command.add_argument("--only", action="store_true", help="tests without the checks of style, types and layers")
    command.set_defaults(does=test)
    commands.add_parser("check", help="style, types and layers").set_defaults(does=check)
    command = commands.add_parser("bench", help="measure something")
    command.add_argument("name", metavar="NAME")
    command.set_defaults(does=bench)
    commands.add_parser("phone", help="assemble the offline phone build").set_defaults(does=phone)
    commands.add_parser("lock", help="resolve the dependencies again").set_defaults(does=lock)
    command = commands.add_parser("setup", help="make the environment and stop")
    command.add_argument("--test", action="store_true", help="with what the tests need")
    command.set_defaults(does=setup)
    return parser


def main() -> int:
    options, more = _parser().parse_known_args()
    if more and options.does not in (test, phone):
        _parser().error(f"unrecognized arguments: {' '.join(more)}")
    options.arguments = more
    try:
        return int(options.does(options))
    except KeyboardInterrupt:
        return 130


if __name__ == "__main__":
    sys.exit(main())
