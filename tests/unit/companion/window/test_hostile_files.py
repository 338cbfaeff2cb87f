"""What comes through the application's doors is data: refused in sentences, shown as text, kept when asked.

Links, pages and files that were cut or mutated by the thousand stand in tests/faults.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import builders
import flet as ft
import pytest
from builders import record
from flet_client import FletClient, window_on
from pages import page
from refusals import refused_because, told

from companion.paper.coach_page import page_html
from companion.views.home.plans import REPLACES
from engine.base.issue import Unreadable
from engine.base.reading import read
from engine.plan.adjustment import Adjustment
from engine.plan.plan import SessionPlan
from storage.exchange.coach_page import read_page
from storage.folder.store import FolderStore
from storage.store import Store

HTML = "<img src=x onerror=alert(1)> [a](https://example.org) **b**"
KEPT = builders.plan(id="kept", name="As it was")


def plan_document() -> dict[str, Any]:
    return builders.plan(id="kept", name="Another one").model_dump(mode="json")


def adjustment_document() -> dict[str, Any]:
    return builders.adjustment().model_dump(mode="json")


def page_document() -> dict[str, Any]:
    return page((record(),)).model_dump(mode="json")


def as_page(content: bytes) -> bytes:
    return b'<!doctype html><script type="application/json" id="coach-page">' + content + b"</script>"


def deep() -> Any:
    held: Any = []
    for _ in range(60):
        held = [held]
    return held


ANY_KIND: dict[str, tuple[dict[str, Any], str]] = {
    "nested": ({"author": deep()}, "more than 40 deep"),
    "huge integer": ({"version": 10**30}, "too large"),
    "half a character": ({"author": "\ud800"}, "cannot be read as text"),
    "newer": ({"version": 2}, "Made with a newer version"),
    "unknown": ({"run": "rm -rf /"}, "not known here"),
    "too long": ({"author": "x" * 5_000_000}, "larger than 4,000 kB"),
}
PLANS = ANY_KIND | {
    "blocks": ({"blocks": [plan_document()["blocks"][-1]] * 13}, "too long: 12 at most"),
    "name": ({"name": "x" * 121}, "too long: 120 at most"),
    "name of nothing": ({"name": ""}, "Nothing is here yet"),
    "seconds": ({"transition_s": 10**9}, "Write 3,600 or less"),
}
ADJUSTMENTS = ANY_KIND | {
    "changes": ({"changes": [{"kind": "remark", "text": "x"}] * 21}, "too long: 20 at most"),
    "remark": ({"changes": [{"kind": "remark", "text": "x" * 401}]}, "too long: 400 at most"),
    "rounds": ({"changes": [{"kind": "rounds", "rounds": 10**6}]}, "Write 30 or less"),
    "forever": ({"until": "9999-12-31"}, "92 days at most"),
    "no such day": ({"until": "2026-02-31"}, "Last day"),
}


def hostile(document: dict[str, Any], changes: dict[str, Any]) -> bytes:
    return json.dumps(document | changes).encode()


NOT_FINITE = ("NaN", "Infinity", "-Infinity", "1e999", "9" * 5_000)


@pytest.mark.parametrize("number", NOT_FINITE)
def test_a_number_without_bounds_is_refused_in_every_kind_of_document(number: str) -> None:
    for reading, document in (
        (lambda raw: read(SessionPlan, raw), plan_document()),
        (lambda raw: read(Adjustment, raw), adjustment_document()),
        (lambda raw: read_page(as_page(raw)), page_document()),
    ):
        raw = json.dumps(document | {"version": "HERE"}).replace('"HERE"', number).encode()
        with refused_because(r"Not a number|too large"):
            reading(raw)


@pytest.mark.parametrize("name", ANY_KIND)
def test_a_hostile_page_is_refused(name: str) -> None:
    changes, said = ANY_KIND[name]
    with pytest.raises(Unreadable) as refused:
        read_page(as_page(hostile(page_document(), changes)))
    assert said in told(refused.value)


async def only_one(store: Store) -> None:
    await store.plans.save(KEPT)


@pytest.fixture
async def client(tmp_path: Path) -> FletClient:
    """At the list of plans, of which there is one."""
    opened = await window_on(tmp_path, fill=only_one)
    await opened.press("I have read this")
    await opened.until_shown("How many minutes?")
    await opened.press("Plans")
    await opened.until_shown("Open a file")
    return opened


async def picks(client: FletClient, content: bytes, *, name: str = "sent.json", by: str) -> None:
    picked = {"id": 1, "name": name, "size": len(content), "bytes": content}
    client.connection.answers["pick_files"] = [picked]
    await client.press(by)


async def test_hostile_files_are_refused_in_sentences_and_change_nothing(
    client: FletClient, tmp_path: Path
) -> None:
    for document, cases in ((plan_document(), PLANS), (adjustment_document(), ADJUSTMENTS)):
        for changes, said in cases.values():
            await picks(client, hostile(document, changes), by="Open a file")
            await client.until_shown("cannot be saved: ")
            await client.until_shown(said)
    assert await FolderStore(tmp_path).plans.all() == (KEPT,)
    assert await FolderStore(tmp_path).person.adjustments() == ()
    assert client.connection.crashes == []


async def test_a_plan_from_outside_takes_the_place_of_one_only_when_asked_and_gives_it_back(
    client: FletClient, tmp_path: Path
) -> None:
    await picks(client, hostile(plan_document(), {}), by="Open a file")
    await client.until_shown(REPLACES)
    assert await FolderStore(tmp_path).plans.all() == (KEPT,)
    await client.press("Save this plan")
    await client.until_shown("Another one is saved")
    await client.press("Undo")
    await client.until_shown("As it was")
    assert await FolderStore(tmp_path).plans.all() == (KEPT,)


async def test_what_looks_like_html_or_a_link_is_shown_as_text_and_never_followed(client: FletClient) -> None:
    named = hostile(plan_document(), {"name": HTML, "author": HTML, "note": HTML})
    asked = hostile(adjustment_document(), {"author": HTML, "changes": [{"kind": "remark", "text": HTML}]})
    told = page_html(page((record(note=HTML),), person={"name": HTML}, questions=(HTML,))).encode()
    await picks(client, named, by="Open a file")
    await client.until_shown(HTML)
    assert_is_text(client)
    await client.press("Back")
    await client.until_shown("Open a file")
    await picks(client, asked, by="Open a file")
    await client.until_shown(f"Remark: {HTML}")
    assert_is_text(client)
    await client.press("Not now")
    await client.until_shown("How many minutes?")
    await client.press("Plans")
    await client.until_shown("Pages received")
    await client.press("Pages received")
    await client.until_shown("drop them on this window")
    await picks(client, told, name=f"{HTML}.html", by="Pick pages")
    await client.until_shown(HTML)
    assert_is_text(client)
    await client.press("Open")
    await client.until_shown(f"noted: “{HTML}”")
    assert_is_text(client)


def assert_is_text(client: FletClient) -> None:
    """Nothing on the screen reads marks in a text, or leads anywhere."""
    for one in client.controls():
        assert not isinstance(one, ft.Markdown)
        assert not getattr(one, "url", None)
        assert not (isinstance(one, ft.Text) and one.spans)
    assert not {"launch_url", "open_window"} & set(client.connection.calls)
