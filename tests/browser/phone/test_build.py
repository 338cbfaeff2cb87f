"""The offline build without a browser: what is in it, and the engine's tests on its Python."""

import json
import re
import subprocess
import tarfile
from hashlib import sha256
from pathlib import Path

import pytest
from phone_bytecode import node
from phone_server import ROOT, build_phone
from run_engine_on_pyodide import SuiteResult, run_suite

pytestmark = pytest.mark.phone

COMPILE = ROOT / "build" / "web" / "compile.mjs"
COMPILED_TEXTS = """
import builtins, sys
sys.path[:0] = ["/folder", "/folder/__pypackages__"]
sys.dont_write_bytecode = True
import ahead

texts = []
execute, compile_text = builtins.exec, builtins.compile

def note_executed(what, *where):
    texts.extend([what] if isinstance(what, str) and "__create_fn__" in what else [])
    execute(what, *where)

def note_compiled(what, *how, **more):
    texts.append(what)
    return compile_text(what, *how, **more)

builtins.exec, builtins.compile = note_executed, note_compiled
import companion.app
print("with", len(texts))

ahead.use({})
from dataclasses import make_dataclass
make_dataclass("Unforeseen", ["one"])
print("without", "some" if texts else "none")
"""


@pytest.fixture(scope="module")
def engine_suite(phone_host: Path) -> SuiteResult:
    return run_suite(phone_host / "app")


def test_the_page_bears_our_name_and_icons_and_none_of_the_framework_s(phone_host: Path) -> None:
    page = (phone_host / "app" / "index.html").read_text(encoding="utf-8")
    manifest = json.loads((phone_host / "app" / "manifest.json").read_text(encoding="utf-8"))
    title = re.search("<title>(.*)</title>", page)
    assert title is not None
    assert (title[1], manifest["name"], manifest["short_name"]) == ("Session companion",) * 3
    icons = [icon["src"] for icon in manifest["icons"]]
    assert "icon-maskable-512.png" in icons
    assert all((phone_host / "app" / icon).is_file() for icon in icons)
    assert not (phone_host / "app" / "icons").exists()


def test_the_archive_holds_the_app_and_nothing_that_would_start_an_installer(phone_host: Path) -> None:
    with tarfile.open(phone_host / "app" / "app.tar") as archive:
        names = archive.getnames()
    entries = {"main.pyc", "ahead.pyc", "ahead.bin", "everything.pyc"}
    own = {*entries, "engine", "storage", "companion", "__pypackages__"}
    assert {name.split("/")[0] for name in names} <= own
    assert {"main.pyc", "engine/base/units.pyc", "__pypackages__/flet/__init__.pyc"} <= set(names)
    assert not any("__pycache__" in name or name.endswith(".py") for name in names)


def test_the_application_is_imported_without_compiling_text(phone_host: Path, tmp_path: Path) -> None:
    with tarfile.open(phone_host / "app" / "app.tar") as archive:
        archive.extractall(tmp_path / "app", filter="data")
    (tmp_path / "script.py").write_text(COMPILED_TEXTS, encoding="utf-8")
    run = [node(), COMPILE, phone_host / "app" / "pyodide", tmp_path / "app", tmp_path / "script.py"]
    done = subprocess.run([str(part) for part in run], capture_output=True, text=True, check=False)
    assert done.stdout.split() == ["with", "0", "without", "some"], done.stdout + done.stderr


def test_the_same_sources_give_the_same_build_to_the_byte(phone_host: Path, tmp_path: Path) -> None:
    build_phone(tmp_path / "again", "--unpacked")
    assert contents(tmp_path / "again") == contents(phone_host / "app")


def test_the_phone_s_python_is_3_14_in_webassembly(engine_suite: SuiteResult) -> None:
    assert (engine_suite.python, engine_suite.platform) == ((3, 14), "emscripten")


def test_the_engine_s_tests_pass_on_the_phone_s_python(engine_suite: SuiteResult) -> None:
    assert engine_suite.passed > 0, f"no test was run\n{engine_suite.output}"
    assert (engine_suite.failed, engine_suite.exit_code) == (0, 0), engine_suite.output


def contents(folder: Path) -> dict[str, str]:
    """The digest of every file: where two builds differ, the failure names files and spares their bytes."""
    files = [path for path in sorted(folder.rglob("*")) if path.is_file()]
    return {path.relative_to(folder).as_posix(): sha256(path.read_bytes()).hexdigest() for path in files}
