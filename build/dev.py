"""Every command of a developer, needing nothing but Python.

python3 build/dev.py run      opens the application in the browser
python3 build/dev.py companion fit PLAN --minutes 25, and the rest of the command line
python3 build/dev.py test     installs what the tests need and runs every check and test
python3 build/dev.py engines  runs in Firefox and WebKit what matters most
python3 build/dev.py check    checks style, types and layers
python3 build/dev.py bench all|NAME [--compare] [--keep] [--repeats N]
python3 build/dev.py renew NAME
python3 build/dev.py faults   kills processes and searches the laws in full counts
python3 build/dev.py phone    assembles the offline phone build in dist/phone/
python3 build/dev.py words    brings the catalogues of the languages in line with the code
python3 build/dev.py voice    speaks the words of the cues, for devices without a voice
python3 build/dev.py package apk|aab|ipa|macos|linux|windows, where a Flutter toolchain is
python3 build/dev.py lock     writes build/locks/
python3 build/dev.py setup    makes the environment and stops
"""

import sys

if sys.version_info < (3, 11):  # noqa: UP036 - this file is started with whatever Python there is
    sys.exit("The session companion needs Python 3.11 or newer.")

import argparse
import os
import shutil
import subprocess
import tempfile
import tomllib
from collections.abc import Sequence
from pathlib import Path

from environment import BIN, ROOT, in_environment, prepare
from locking import lock_all

CLIENT = {"FLET_WEB_NO_CDN": "1", "FLET_WEB_RENDERER": "canvaskit", "FLET_FORCE_WEB_SERVER": "1"}
CHECKS = (
    ("ruff", "check", "."),
    ("ruff", "format", "--check", "."),
    ("mypy",),
    ("lint-imports", "--no-cache"),
)
ON_ALL_CORES = ("--numprocesses", "auto", "--dist", "loadfile", "--no-loadscope-reorder", "--durations", "12")
"""Workers take whole files, in the order that tests/conftest.py brings them into."""
WHILE_OTHERS_WAIT = ("--numprocesses", str(3 * (os.cpu_count() or 2) // 2), *ON_ALL_CORES[2:])
"""Three workers for two cores: a test in a browser waits a third of its time, for what moves on the screen or
for a clock."""
ONE_BY_ONE = ("--numprocesses", "auto", "--dist", "worksteal", "--durations", "12")
"""Workers take single tests: one about cues waits more than it works."""
AN_ENGINE_A_CORE = ("--numprocesses", "2", "--dist", "loadgroup", "--durations", "12")
IN_BROWSERS = "tests/browser"
CHROMIUM, SHELL = "chromium", "chromium-headless-shell"
BROWSERS = {
    CHROMIUM: ("chromium", "chromium-browser"),
    SHELL: (SHELL,),
    "firefox-esr": ("firefox-esr",),
    "webkit2gtk-driver": ("WebKitWebDriver",),
    "xvfb": ("Xvfb",),
}
"""Debian's packages of the three engines, with the screen that WebKit needs, and what each brings. Chromium's
shell, in which most tests run, is only faster: without it they run in Chromium."""
CRASHED = "tests/browser/job/test_crashed_tabs.py"
SEARCH = ("tests/faults", CRASHED, "tests/property", "tests/external", "--hypothesis-profile=search")


def call(command: Sequence[str], **more: str) -> int:
    """Runs a command of the project's environment in the checkout; returns its exit code."""
    return subprocess.run(_found(command), cwd=ROOT, env=_variables(more), check=False).returncode


def become(command: Sequence[str]) -> int:
    """Runs a command in place of this process where the system can, so that signals reach it."""
    if os.name != "nt":
        os.chdir(ROOT)
        found = _found(command)
        os.execve(found[0], found, _variables({}))
    return call(command)


def _found(command: Sequence[str]) -> list[str]:
    return [shutil.which(command[0], path=str(BIN)) or command[0], *command[1:]]


def _variables(more: dict[str, str]) -> dict[str, str]:
    return in_environment() | CLIENT | more


def run(options: argparse.Namespace) -> int:
    """Opens the application: in the browser, or in Flet's desktop client."""
    prepare("window" if options.window else "run")
    command = ["python", "-m", "companion.app", "--port", str(options.port)]
    command += [f"--{name}" for name in ("window", "demo") if getattr(options, name)]
    command += ["--no-open"] if options.no_open else []
    command += ["--data", str(options.data.expanduser().resolve())] if options.data else []
    return become(command)


def companion(options: argparse.Namespace) -> int:
    """The command line, from any folder; installing the project puts it on the path as `companion`."""
    prepare("run")
    found = _found(["python", "-m", "companion.cli", *options.words, *options.arguments])
    return subprocess.run(found, env=_variables({"PYTHONPATH": str(ROOT)}), check=False).returncode


def check(_: argparse.Namespace) -> int:
    """Runs every check, also after one complained; returns 1 when any did."""
    prepare("test")
    complaining = [" ".join(command) for command in CHECKS if call(command)]
    if complaining:
        print(f"These checks complained: {', '.join(complaining)}.", file=sys.stderr)
    return int(bool(complaining))


def test(options: argparse.Namespace) -> int:
    """Runs the checks, then the tests that need no browser, those that need one, and those about cues.

    A skipped browser test counts as a failure.
    """
    prepare("test")
    if options.fast:
        return pytest("-m", "not browser and not phone and not engines", *ON_ALL_CORES, *options.arguments)
    bring_browsers(CHROMIUM, SHELL)
    if not options.only and check(options):
        return 1
    if options.arguments:
        return pytest(*options.arguments)
    with tempfile.TemporaryDirectory(prefix="companion-tests-") as shared:
        host = str(Path(shared) / "host")
        return (
            pytest("-m", "not browser and not engines", *ON_ALL_CORES, PHONE_HOST=host)
            or pytest(IN_BROWSERS, "-m", "browser and not alone", *WHILE_OTHERS_WAIT, PHONE_HOST=host)
            or pytest(IN_BROWSERS, "-m", "alone", *ONE_BY_ONE)
        )


def pytest(*arguments: str, **more: str) -> int:
    """Runs pytest; ``PHONE_HOST`` is a folder for the offline build, which one run makes for the next."""
    return call(["python", "-m", "pytest", *arguments], NOTHING_SKIPPED="1", **more)


def engines(options: argparse.Namespace) -> int:
    """Runs in Firefox and WebKit what matters most."""
    prepare("test")
    bring_browsers(*BROWSERS)
    return pytest("-m", "engines", *AN_ENGINE_A_CORE, *options.arguments)


def bring_browsers(*packages: str) -> None:
    """Installs what is missing of these packages if apt-get may be used; else says so and ends."""
    missing = [one for one in packages if not any(map(shutil.which, BROWSERS[one]))]
    if "CHROMIUM" in os.environ:
        missing = [one for one in missing if one not in (CHROMIUM, SHELL)]
    may_install = shutil.which("apt-get") is not None and os.geteuid() == 0
    if not missing or (missing == [SHELL] and not may_install):
        return
    named = ", ".join(missing)
    if not may_install:
        sys.exit(f"The browser tests need {named}: install what is missing and try again.")
    print(f"Installing {named} …", flush=True)
    variables = os.environ | {"DEBIAN_FRONTEND": "noninteractive"}
    for arguments in (["update"], ["install", "--yes", "--no-install-recommends", *missing]):
        command = ["apt-get", "-qq", *arguments]
        if subprocess.run(command, env=variables, stdout=subprocess.DEVNULL, check=False).returncode:
            sys.exit("apt-get could not finish; what it said stands above.")


def bench(options: argparse.Namespace) -> int:
    """Runs one bench or all: a table, and one JSON object of figures as the last line."""
    prepare("test")
    return _call_main("bench.all", [options.name, *options.arguments])


def renew(options: argparse.Namespace) -> int:
    """Writes again what tests compare with, for a change that is meant; the commit says why."""
    prepare("test")
    return _call_main(options.name, options.arguments)


def words(options: argparse.Namespace) -> int:
    """Brings the catalogues of the languages in line with the code."""
    prepare("test")
    return _call_main("catalogues", ["--check"] if options.check else [])


def _call_main(module: str, arguments: Sequence[str]) -> int:
    """Calls ``main`` of a module on the path of the tests.

    Run as a script, a module would have its own folder first on the path, where ``storage`` is a bench.
    """
    begin = f"import sys; from {module} import main; sys.exit(main())"
    settings = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    folders = settings["tool"]["pytest"]["ini_options"]["pythonpath"]
    path = os.pathsep.join(str(ROOT / folder) for folder in folders)
    return call(["python", "-c", begin, *arguments], PYTHONPATH=path)


def faults(options: argparse.Namespace) -> int:
    """Kills processes and crashes windows many times, searches the laws far wider than a test run does, and
    compares the fits of many plans with brute force and a constraint solver.

    ``--simulate`` runs a range of the simulation's seeds instead; ``--reintroduced`` tries the simulation on
    faults that were mended (tests/simulation)."""
    prepare("test")
    if options.simulate:
        return _call_main("simulation.drive", list(map(str, options.simulate)))
    if options.reintroduced:
        return _call_main("simulation.reintroduced", [str(options.reintroduced)])
    bring_browsers(CHROMIUM, SHELL)
    counts = {name.upper(): str(getattr(options, name)) for name, _, _ in COUNTED}
    return call(["python", "-m", "pytest", *SEARCH, *options.arguments], **counts)


def phone(options: argparse.Namespace) -> int:
    """Needs the tests' environment, which brings the Node that runs the phone's Python, and a packer."""
    prepare("test")
    return call(["python", "build/phone.py", *options.arguments])


def voice(_: argparse.Namespace) -> int:
    prepare("test")
    return call(["python", "build/voice.py"])


def package(options: argparse.Namespace) -> int:
    prepare("test")
    return call(["python", "build/package.py", *options.arguments])


def lock(options: argparse.Namespace) -> int:
    lock_all(upgrade=options.upgrade)
    return 0


def setup(options: argparse.Namespace) -> int:
    prepare("test" if options.test else "run")
    return 0


WINDOW = (
    "in Flet's desktop client, which is downloaded at its first start; that client was not run in our tests"
)
TAKES_MORE = (companion, test, engines, bench, faults, phone, package, renew)
COUNTED = (
    ("kills", 200, "how often a writing process is killed"),
    ("sessions", 1_000, "how many sessions are killed"),
    ("crashes", 100, "how many windows crash in each mode"),
    ("deaths", 1_000, "at how many steps a write dies"),
    ("refusals", 4_000, "how many actions are refused at a step"),
    ("mutations", 20_000, "how many links, pages … are changed"),
    ("plans", 2_500, "how many plans' fits are compared"),
    ("days", 91, "how many days are trained in one process"),
)
RENEWED = (
    "coach_table",
    "fit_in_words",
    "growth_table",
    "voyage",
    "rehearsal",
    "compared_fits",
    "pace_simulation",
    "picture",
)


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(description="Run, test, measure and package the session companion.")
    commands = parser.add_subparsers(required=True, metavar="COMMAND")
    _add_run(commands.add_parser("run", help="open the application in the browser"))
    command = commands.add_parser("companion", help="the command line: fit, check, schema", add_help=False)
    command.add_argument("words", nargs=argparse.REMAINDER)
    command.set_defaults(does=companion)
    command = commands.add_parser("test", help="run every check and test; more arguments go to pytest")
    command.add_argument("--fast", action="store_true", help="no checks and no browser")
    command.add_argument("--only", action="store_true", help="no checks of style, types and layers")
    command.set_defaults(does=test)
    commands.add_parser("engines", help="what matters most, in Firefox and WebKit").set_defaults(does=engines)
    commands.add_parser("check", help="style, types and layers").set_defaults(does=check)
    command = commands.add_parser("bench", help="measure all or one thing, beside a baseline or not")
    command.add_argument("name", metavar="all|NAME")
    command.set_defaults(does=bench)
    command = commands.add_parser("renew", help="write again what tests compare with")
    command.add_argument("name", choices=RENEWED)
    command.set_defaults(does=renew)
    _add_faults(commands.add_parser("faults", help="kills and searches in full counts, some minutes long"))
    command = commands.add_parser("words", help="bring the catalogues of the languages in line with the code")
    command.add_argument("--check", action="store_true", help="change nothing; fail where something is stale")
    command.set_defaults(does=words)
    commands.add_parser("phone", help="assemble the offline phone build").set_defaults(does=phone)
    commands.add_parser("voice", help="speak the words of the cues anew").set_defaults(does=voice)
    command = commands.add_parser("package", help="make a package for a phone or a desk by Flet's builder")
    command.set_defaults(does=package)
    command = commands.add_parser("lock", help="write build/locks/ anew")
    command.add_argument("--upgrade", action="store_true", help="take the newest versions that fit")
    command.set_defaults(does=lock)
    command = commands.add_parser("setup", help="make the environment and stop")
    command.add_argument("--test", action="store_true", help="with what the tests need")
    command.set_defaults(does=setup)
    return parser


def _add_faults(command: argparse.ArgumentParser) -> None:
    for name, usual, what in COUNTED:
        command.add_argument(f"--{name}", type=int, default=usual, help=f"{what} ({usual})")
    simulate = "runs only these seeds of the simulation, as far as that is not done yet"
    command.add_argument("--simulate", nargs=2, type=int, metavar=("FROM", "TO"), help=simulate)
    back = "puts mended faults back and says after how many sessions these seeds find them"
    command.add_argument("--reintroduced", type=int, metavar="SEEDS", help=back)
    command.set_defaults(does=faults)


def _add_run(command: argparse.ArgumentParser) -> None:
    command.add_argument("--window", action="store_true", help=WINDOW)
    command.add_argument("--demo", action="store_true", help="with eight invented weeks, in their own folder")
    command.add_argument("--port", type=int, default=0, metavar="N", help="0 takes a free one")
    command.add_argument("--no-open", action="store_true", help="print the address and open nothing")
    command.add_argument("--data", type=Path, metavar="FOLDER", help="where the records are kept")
    command.set_defaults(does=run)


def main() -> int:
    parser = _parser()
    options, options_more = parser.parse_known_args()
    if options_more and options.does not in TAKES_MORE:
        parser.error(f"unrecognized arguments: {' '.join(options_more)}")
    options.arguments = options_more
    try:
        return int(options.does(options))
    except KeyboardInterrupt:
        return 130


if __name__ == "__main__":
    sys.exit(main())
