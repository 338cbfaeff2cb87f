"""The week on screen: easy movement stands apart, in words and in no picture."""

from __future__ import annotations

from calendar import month_name
from datetime import UTC, datetime, timedelta
from pathlib import Path

from builders import easy_session, profile, record
from flet_client import FletClient, window_on

from storage.store import Store


async def week_of(folder: Path, *, session: bool) -> FletClient:
    """The week screen of somebody who moved easily just now, and perhaps trained an hour before."""
    now = datetime.now(UTC).replace(microsecond=0)

    async def fill(store: Store) -> None:
        await store.person.save_profile(profile(cautions_read_at=now))
        easy = record(easy_session(), started_at=now, record_id="easy", effort=2)
        await store.sessions.save(easy)
        if session:
            await store.sessions.save(record(started_at=now - timedelta(seconds=1), effort=6))

    client = await window_on(folder, fill=fill)
    await client.until_shown("How many minutes?")
    await client.press("The week")
    await client.until_shown("Easy movement, 8 min.")
    return client


async def test_beside_a_session_it_is_in_no_figure_and_in_no_picture(tmp_path: Path) -> None:
    client = await week_of(tmp_path, session=True)
    assert client.shows("1 session, 3 min.")
    assert client.shows("2 of 2 rounds. 1 strength day. Effort 6 of 10.")
    assert client.shows("Effort of each session by week, 0 to 10: none, none, none, none, 6.")
    assert client.shows("Minutes by week: 0, 0, 0, 0, 3.")
    assert client.texts().count("Sessions") == client.texts().count("Easy movement") == 1
    assert any("Easy movement, 8 min. Effort 2 of 10." in text for text in client.texts())


async def test_an_effort_that_was_not_said_is_named_where_the_session_load_lacks_it(tmp_path: Path) -> None:
    now = datetime.now(UTC).replace(microsecond=0)

    async def fill(store: Store) -> None:
        await store.person.save_profile(profile(cautions_read_at=now))
        await store.sessions.save(record(started_at=now - timedelta(seconds=2), effort=6))
        await store.sessions.save(record(started_at=now - timedelta(seconds=1), record_id="silent"))

    client = await window_on(tmp_path, fill=fill)
    await client.until_shown("How many minutes?")
    await client.press("The week")
    await client.until_shown("2 sessions, 6 min.")
    assert client.shows("Effort 6 of 10. Effort not said in 1 session.")
    assert client.shows("by week: 0, 0, 0, 0, 18 (effort of 1 session not said).")


async def test_alone_it_makes_no_week_of_training(tmp_path: Path) -> None:
    client = await week_of(tmp_path, session=False)
    assert client.shows("No session in this week.")
    assert client.shows("No session in these five weeks.")
    assert not client.shows("Cut to save time")
    assert not client.shows("All activity of this week is logged")
    assert "Sessions" not in client.texts()


async def test_the_page_s_confirmation_stays_in_view_above_the_action_with_its_capitals(
    tmp_path: Path,
) -> None:
    client = await week_of(tmp_path, session=True)
    await client.press("Save the page")
    await client.until_shown("was handed over for saving: Week")
    said = client.texts()
    (confirmed,) = [text for text in said if "handed over" in text]
    assert confirmed.startswith("The page was handed over for saving: Week ")
    assert any(f" {month}" in confirmed for month in month_name if month)
    assert said.index(confirmed) > said.index("Save the page")
    assert "Next session" in said[said.index(confirmed) + 1 :][:2], "nothing but the bar comes after it"
