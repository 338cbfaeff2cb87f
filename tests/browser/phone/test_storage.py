"""What the browser keeps, on the packaged Python in a worker of Chromium.

The suite of every store, and what only a browser does: workers that end in the middle of writing, windows
that compete, versions that follow each other.
"""

import json
from collections.abc import Iterator
from pathlib import Path

import pytest
from phone_archive import write_archive
from phone_server import serve_folder
from places import ROOT, SUPPORT
from playwright.sync_api import Browser, Page
from run_engine_on_pyodide import packages_of_tests

pytestmark = [pytest.mark.browser, pytest.mark.phone]

SUITES = (
    "test_store",
    "test_person_store",
    "test_plan_store",
    "test_session_store",
    "test_run_store",
    "test_derived_figures",
)
SOURCES = (
    "tests/support/builders.py",
    "tests/support/phone/storage_in_worker.py",
    "tests/support/stores/recounted.py",
    *(f"tests/unit/storage/{name}.py" for name in SUITES),
)

START = """async ([name, archives]) => {
  const worker = new Worker("/suite/storage_worker.mjs", { type: "module" });
  (window.workers ??= {})[name] = worker;
  window.ask = (name, message) => new Promise((resolve, reject) => {
    window.workers[name].onmessage = ({ data }) => data.fault ? reject(data.fault) : resolve(data.value);
    window.workers[name].postMessage(message);
  });
  return window.ask(name, { pyodide: "/app/pyodide/pyodide.mjs", archives });
}"""


class Workers:
    """Workers of one page, each with a Python of its own."""

    def __init__(self, page: Page) -> None:
        self.page = page

    def start(self, name: str) -> None:
        self.page.evaluate(START, [name, ["/app/app.tar", "/suite/suite.tar"]])

    def run(self, name: str, call: str) -> object:
        python = f"import storage_in_worker\nawait storage_in_worker.{call}"
        return self.page.evaluate("([name, run]) => window.ask(name, { run })", [name, python])

    def begin(self, name: str, call: str) -> None:
        """As run, without waiting for its end."""
        python = f"import storage_in_worker\nawait storage_in_worker.{call}"
        self.page.evaluate("([name, run]) => void window.ask(name, { run })", [name, python])

    def await_run(self, name: str, python: str, expected: object) -> None:
        """Waits until what runs in a worker answers so."""
        for _ in range(50):
            if self.run(name, python) == expected:
                return
            self.page.wait_for_timeout(100)
        assert self.run(name, python) == expected

    def end(self, name: str) -> None:
        self.page.evaluate("name => window.workers[name].terminate()", name)


@pytest.fixture(scope="module")
def workers(phone_host: Path, browser: Browser) -> Iterator[Workers]:
    """Two Pythons in one browser profile, beside each other for the whole module."""
    suite = phone_host / "suite"
    suite.mkdir()
    (suite / "storage_worker.mjs").write_bytes((SUPPORT / "phone" / "storage_worker.mjs").read_bytes())
    (suite / "page.html").write_text("<!DOCTYPE html><title>Workers</title>", encoding="utf-8")
    packages = {f"test_packages/{name}": content for name, content in packages_of_tests().items()}
    sources = {name: (ROOT / name).read_bytes() for name in SOURCES}
    write_archive(suite / "suite.tar", {**packages, **sources})
    with serve_folder(phone_host) as origin:
        context = browser.new_context()
        page = context.new_page()
        page.goto(f"{origin}/suite/page.html")
        workers = Workers(page)
        workers.start("one")
        workers.start("two")
        yield workers
        context.close()


def test_the_suite_of_every_store_passes_over_the_browser_s_database(workers: Workers) -> None:
    ended = json.loads(str(workers.run("one", f"run_suites({SUITES})")))
    assert len(ended) > 25
    assert {name: said for name, said in ended.items() if said} == {}


def test_a_worker_that_is_ended_in_the_middle_of_writing_loses_nothing_acknowledged(workers: Workers) -> None:
    workers.start("writing")
    workers.page.evaluate("""() => {
      window.acknowledged = 0;
      new BroadcastChannel("acknowledged").onmessage = ({ data }) => { window.acknowledged = data; };
    }""")
    workers.begin("writing", "write_until_ended()")
    workers.page.wait_for_function("() => window.acknowledged >= 40")
    workers.end("writing")
    acknowledged = workers.page.evaluate("window.acknowledged")
    found = workers.run("one", "found_run()")
    assert 40 <= acknowledged < 600
    assert acknowledged <= found <= acknowledged + 1


def test_one_window_writes_the_other_reads_until_it_takes_over_or_the_first_is_gone(workers: Workers) -> None:
    refusal = "Another window or program is using these files: this one only reads."
    assert workers.run("one", "take('first', False)") == "owner"
    assert workers.run("two", "take('second', False)") == "another_window"
    assert workers.run("one", "save_profile('first', 'Runa')") == ""
    assert workers.run("two", "save_profile('second', 'Ailo')") == refusal
    assert workers.run("two", "take('second', True)") == "owner"
    assert workers.run("one", "access_of('first')") == "taken_over"
    assert workers.run("one", "save_profile('first', 'Runa')") == refusal
    workers.end("two")
    workers.await_run("one", "access_of('first')", "owner")  # it stood in line
    assert workers.run("one", "save_profile('first', 'Runa')") == ""


def test_a_full_device_is_said_and_what_was_saved_before_is_still_there(workers: Workers) -> None:
    workers.run("one", "take('full', True)")
    assert workers.run("one", "save_profile('full', 'Runa')") == ""
    said = workers.run("one", "save_where_it_is_full()")
    assert str(said).startswith("There is no room left for this page")
    assert workers.run("one", "profile_name()") == "Runa"


@pytest.mark.parametrize(("how", "cause"), [("throws", "browser_full"), ("aborts", "browser_fault")])
def test_a_step_that_fails_at_any_of_its_requests_keeps_nothing_and_can_be_made_again(
    workers: Workers, how: str, cause: str
) -> None:
    """Indexed Database API 3.0, section 2.7.1: an aborted transaction changes nothing."""
    *broken, whole = json.loads(str(workers.run("one", f"break_in_the_middle('{how}')")))
    assert len(broken) >= 3
    assert broken == [[cause, 1, "", 2]] * len(broken)
    assert whole == ["", 2, "", 2]


def test_a_database_that_the_browser_closed_is_opened_again_with_the_next_step(workers: Workers) -> None:
    assert json.loads(str(workers.run("one", "save_after_the_browser_closed()"))) == ["", 2]


def test_an_older_window_writes_nothing_once_a_newer_version_has_the_records(workers: Workers) -> None:
    assert json.loads(str(workers.run("one", "save_after_a_newer_version()"))) == ["browser_newer", 1]


def test_an_older_version_is_brought_up_in_one_step_after_a_copy_and_a_newer_one_is_left(
    workers: Workers,
) -> None:
    failed, kept, renamed, aside, older = json.loads(str(workers.run("one", "migrate()")))
    assert failed == "browser_fault"
    assert (kept, renamed) == ("Runa", "Runa Dahl")
    assert aside == ["before version 2"]
    assert older == "browser_newer"


def test_opening_waits_for_an_older_window_to_close_and_says_so_where_it_never_does(workers: Workers) -> None:
    """Indexed Database API 3.0, section 4.4: a blocked request goes on once the others are closed."""
    assert workers.run("one", "open_beside_an_older_one(0.5)") == "opened"
    said = str(workers.run("one", "open_beside_an_older_one(0)"))
    assert "Another window of this page keeps the records open" in said
    assert workers.run("one", "open_beside_an_older_one(0.2)") == "opened"
