"""The main job in real time, as a person does it: minutes and kit, warm-up, rounds felt, log, the week."""

from collections.abc import Callable
from pathlib import Path

import pytest
from beside import done
from flutter_page import await_vibrations, enable_semantics, foreign, vibrations
from playwright.sync_api import BrowserContext, expect
from short_plan import EXPECTED_CUES, SHORT
from walk import LIMIT_MS, minutes_chosen, on_warm_up, opened, shown, tap

from engine.live.cues import PATTERNS_MS, CueKind
from storage.folder.store import FolderStore

pytestmark = [pytest.mark.browser, pytest.mark.alone]
AS_AT_HOME = True
WITH_WEBGL = True


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A data folder in which the short plan is the only one."""
    folder = tmp_path_factory.mktemp("records")
    done(FolderStore(folder).plans.save(SHORT))
    return folder


@pytest.fixture(scope="module")
def short_url(folder: Path, start_app: Callable[..., str]) -> str:
    return start_app(folder)


def test_a_person_with_some_minutes_ends_with_a_saved_session_in_the_week(
    context: BrowserContext, short_url: str, folder: Path
) -> None:
    asked: list[str] = []
    context.on("request", lambda request: asked.append(request.url))
    page = opened(context, short_url)
    tap(page, "I have read this")

    tap(page, "5 minutes less")
    minutes_chosen(page, 20)
    tap(page, "One")
    tap(page, "Start")

    on_warm_up(page)
    tap(page, "Done")

    felt = await_vibrations(page, len(EXPECTED_CUES), limit_ms=150_000)
    assert [v.pattern_ms for v in felt[: len(EXPECTED_CUES)]] == [PATTERNS_MS[kind] for kind in EXPECTED_CUES]

    shown(page, "How was it")
    tap(page, "effort 2")
    tap(page, "two kilograms more")
    tap(page, "Save")
    shown(page, "1 session")

    page.reload()
    enable_semantics(page)
    shown(page, "2 of 2 rounds")
    tap(page, "Next session")
    shown(page, "How many minutes")
    tap(page, "The week")
    shown(page, "2 of 2 rounds")
    saved = done(FolderStore(folder).sessions.records())
    assert [(r.session.plan_name, r.effort, {s.load_g for s in r.sets}) for r in saved] == [
        ("A short one", 2.0, {2000})
    ]
    assert foreign(asked, short_url) == []


def test_something_hurts_is_one_tap_away_and_the_note_is_in_the_week(
    context: BrowserContext, start_app: Callable[..., str], tmp_path: Path
) -> None:
    done(FolderStore(tmp_path).plans.save(SHORT))
    page = opened(context, start_app(tmp_path))
    tap(page, "I have read this")
    tap(page, "One")
    tap(page, "Start")
    tap(page, "Something hurts")
    shown(page, "Stop. Weight down")
    assert vibrations(page)[-1].pattern_ms == PATTERNS_MS[CueKind.stop]
    tap(page, "point left knee")
    expect(page.get_by_text("Tap the nearest point")).to_have_count(0, timeout=LIMIT_MS)
    tap(page, "None: dull, left knee")
    tap(page, "pain 6")
    shown(page, "End the session here")
    tap(page, "End the session")
    tap(page, "Save")
    shown(page, "left knee, pain 6 of 10")
    shown(page, "stopped for pain")
