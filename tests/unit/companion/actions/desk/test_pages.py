"""The coach's reading corner: pages from several people, pain first, one in detail, and an answer."""

from __future__ import annotations

from pathlib import Path

import pytest
from builders import record
from flet_client import FletClient, window_on
from page_sentences import written
from pages import page, painful_record
from somebody import Person

from companion.actions.desk.pages import TOO_MANY
from companion.paper.coach_page import page_html
from companion.services.files import PickedFile
from companion.views.desk.pages import NOTHING
from companion.words.words import english
from engine.base.reading import read
from engine.coach.page import CoachPage
from engine.coach.roster import head, in_short, of_session, roster, trends
from engine.plan.adjustment import Adjustment, adjustment_faults

WELL = page((record(),), person={"trainee_id": "well", "name": "Anselm"})
SORE = page((painful_record(),), person={"trainee_id": "sore", "name": "Runa"})


def as_files(*pages: CoachPage) -> list[dict[str, object]]:
    contents = [page_html(one).encode() for one in pages]
    return [
        {"id": number, "name": f"page-{number}.html", "size": len(content), "bytes": content}
        for number, content in enumerate(contents)
    ]


@pytest.fixture
async def client(tmp_path: Path) -> FletClient:
    opened = await window_on(tmp_path)
    await opened.press("I have read this")
    await opened.until_shown("How many minutes?")
    await opened.press("Plans")
    await opened.until_shown("Pages received")
    await opened.press("Pages received")
    await opened.until_shown(NOTHING)
    return opened


async def test_who_was_stopped_by_pain_stands_first_whatever_the_order_of_the_files(
    client: FletClient,
) -> None:
    client.connection.answers["pick_files"] = as_files(WELL, SORE, SORE)
    await client.press("Pick pages")
    await client.until_shown("Stopped for pain")
    shown = client.texts()
    first, second = (next(at for at, text in enumerate(shown) if name in text) for name in ("Runa", "Anselm"))
    assert first < second
    for person in roster([WELL, SORE]):
        for sentence in (english(head(person)), *written(in_short(person))):
            assert client.shows(sentence)
    assert client.shows("1 page came again.")


async def test_a_file_that_is_no_page_is_named_and_the_others_are_read(client: FletClient) -> None:
    other = {"id": 9, "name": "holiday.html", "size": 4, "bytes": b"<p>x"}
    client.connection.answers["pick_files"] = [other, *as_files(WELL)]
    await client.press("Pick pages")
    await client.until_shown("holiday.html: This is not a whole page for the coach")
    assert client.shows("Anselm")


async def test_one_person_is_opened_and_answered_in_sentences(client: FletClient) -> None:
    client.connection.answers["pick_files"] = as_files(WELL, SORE)
    await client.press("Pick pages")
    await client.until_shown("Stopped for pain")
    await client.press("Open")
    await client.until_shown("Session by session")
    (sore,) = roster([SORE])
    for sentence in written((*in_short(sore), *trends(sore), *of_session(sore.sessions[0]))):
        assert client.shows(sentence)
    await client.press("right elbow" if client.shows("right elbow") else "left elbow")
    await client.press("At most 2 rounds")
    await client.until_shown("2 changes. To hand them over, write your name.")
    assert not client.shows("Save the adjustment")
    await client.write("Your name", "Nkechi Lowell")
    await client.until_shown("From Nkechi Lowell to Runa")
    assert client.shows("At most 2 rounds of each work block.")
    assert client.shows("elbow. Other movements take the place of those that load it.")
    await client.press("Save the adjustment")
    adjustment = read(Adjustment, client.connection.given["save_file"]["src_bytes"])
    assert (adjustment.trainee_id, adjustment.author) == (SORE.trainee.id, "Nkechi Lowell")
    assert [change.kind for change in adjustment.changes] == ["spare", "rounds"]
    assert adjustment_faults(adjustment) == ()


async def test_dropped_files_that_could_not_be_read_at_once_are_said() -> None:
    person = await Person().open()
    person.files.to_pick = [PickedFile("one.html", b"no page")]
    await person.do.pages.take_dropped(4)
    names = [name for name, _ in person.state.pages.refused]
    assert names == ["one.html", "3 more"]
    assert person.state.pages.refused[-1][1] == TOO_MANY
