"""What each package may import, what the project declares for it, and the lists with fixed digests."""

import sys
import tomllib
from pathlib import Path

import pytest
from environment import CONTAINED_IN, LOCKS, is_usable, make
from locking import PHONE, versions
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name
from places import ROOT
from python_files import ONLY_ON_THE_PHONE, PACKAGES, imported, python_files

OUTSIDE = {
    "engine": {"pydantic"},
    "storage": {"pydantic", "tinydb"},
    "companion": {"pydantic", "flet", "flet_web", "segno", "starlette", "uvicorn", "plyer"},
}
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]


def lock_text(name: str) -> str:
    return (LOCKS / f"{name}.txt").read_text(encoding="utf-8")


def locked(name: str) -> dict[str, str]:
    return versions(lock_text(name))


@pytest.mark.parametrize("package", sorted(OUTSIDE))
def test_a_package_stands_on_few_others(package: str) -> None:
    used = set().union(*map(imported, python_files(package)))
    allowed = OUTSIDE[package] | set(PACKAGES) | (ONLY_ON_THE_PHONE if package != "engine" else set())
    assert used - allowed - sys.stdlib_module_names == set()


def test_what_is_imported_is_also_declared() -> None:
    declared = [*PROJECT["dependencies"], *PROJECT["optional-dependencies"]["phone"]]
    names = {canonicalize_name(Requirement(line).name) for line in declared}
    assert {canonicalize_name(name) for name in set().union(*OUTSIDE.values())} - names == set()


@pytest.mark.parametrize("name", sorted(path.stem for path in LOCKS.glob("*.txt")))
def test_every_locked_package_has_one_version_and_a_digest_and_comes_from_no_named_place(name: str) -> None:
    text = lock_text(name)
    assert "://" not in text
    assert "--index" not in text
    entries = text.replace("\\\n", " ").splitlines()
    assert entries
    for entry in entries:
        assert "==" in entry, entry
        assert "--hash=sha256:" in entry, entry


@pytest.mark.parametrize(("short", "long"), [(a, b) for a, longer in CONTAINED_IN.items() for b in longer])
def test_a_longer_list_holds_the_shorter_in_the_same_versions(short: str, long: str) -> None:
    assert locked(short).items() <= locked(long).items()


@pytest.mark.parametrize("name", PHONE)
def test_the_phone_runs_the_versions_that_were_tested_here(name: str) -> None:
    assert locked(name).items() <= locked("test").items()
    assert locked(name).keys() == set((LOCKS / f"{name}.in").read_text(encoding="utf-8").split())


@pytest.mark.parametrize(("name", "extra"), [("run", None), ("window", "window"), ("test", "test")])
def test_a_lock_fits_what_the_project_declares(name: str, extra: str | None) -> None:
    lines = [*PROJECT["dependencies"], *(PROJECT["optional-dependencies"][extra] if extra else ())]
    for requirement in map(Requirement, lines):
        version = locked(name)[canonicalize_name(requirement.name)]
        assert requirement.specifier.contains(version), f"{requirement} is locked at {version}"


def test_an_environment_of_another_python_or_without_pip_is_made_anew(tmp_path: Path) -> None:
    assert is_usable(Path(sys.prefix))
    assert not is_usable(tmp_path)
    (tmp_path / "pyvenv.cfg").write_text("version = 3.9.1\n", encoding="utf-8")
    assert not is_usable(tmp_path)
    version = ".".join(map(str, sys.version_info[:3]))
    (tmp_path / "pyvenv.cfg").write_text(f"version = {version}\n", encoding="utf-8")
    assert not is_usable(tmp_path), "it was left before pip was there"


def test_an_environment_behind_a_link_is_never_emptied(tmp_path: Path) -> None:
    (tmp_path / "theirs").mkdir()
    (tmp_path / "theirs" / "kept").touch()
    (tmp_path / "link").symlink_to(tmp_path / "theirs", target_is_directory=True)
    with pytest.raises(SystemExit, match="is a link: remove it"):
        make(tmp_path / "link")
    assert (tmp_path / "theirs" / "kept").exists()
