"""Cues on their way to the page: what is handed over, and when again."""

import asyncio

import pytest
from page_words import hello, work_at
from recording_cues import RecordingCuePlayer

from companion.services.cue_player import QUIET_AFTER_MS, QUIET_BEFORE_MS, in_quiet_window
from companion.services.page_cues import PageCuePlayer
from companion.services.page_messages import (
    Awake,
    Cancel,
    Greet,
    Message,
    Mix,
    PageMessage,
    Play,
    Pong,
    Report,
    Schedule,
    parse_from_page,
)


class SteppedClock:
    """A clock that goes on only when told to."""

    def __init__(self, monotonic_ms: int = 50_000) -> None:
        self.ms = monotonic_ms

    def monotonic_ms(self) -> int:
        return self.ms


class OpenPage:
    """A channel to an open page: keeps what it is sent, and says what the test makes it say."""

    superseded = False

    def __init__(self) -> None:
        self.sent: list[Message] = []

    def listen(self, listener):  # type: ignore[no-untyped-def]
        self.say = listener

    async def send(self, message: Message) -> None:
        self.sent.append(message)

    def take(self) -> list[Message]:
        taken, self.sent = self.sent, []
        return taken


def times_of(message: Message) -> tuple[int, ...]:
    assert isinstance(message, Schedule)
    return tuple(one.at_ms for one in message.cues)


@pytest.fixture
def clock() -> SteppedClock:
    return SteppedClock()


@pytest.fixture
def page() -> OpenPage:
    return OpenPage()


@pytest.fixture
def player(page: OpenPage, clock: SteppedClock) -> PageCuePlayer:
    return PageCuePlayer(page, clock)  # type: ignore[arg-type]


async def test_a_schedule_tells_where_session_time_zero_lies_on_the_clock(
    player: PageCuePlayer, page: OpenPage
) -> None:
    await player.schedule(work_at(10_000, 20_000), session_ms=4_000)
    (message,) = page.take()
    assert isinstance(message, Schedule)
    assert message.zero_ms == 46_000
    assert times_of(message) == (10_000, 20_000)


async def test_cues_of_the_past_are_left_out_of_a_first_schedule_and_a_cue_of_now_is_not(
    player: PageCuePlayer, page: OpenPage
) -> None:
    await player.schedule(work_at(0, 9_999, 10_000, 10_001), session_ms=10_000)
    assert times_of(page.take()[0]) == (10_000, 10_001)


async def test_while_the_session_runs_on_a_cue_that_may_not_have_fired_yet_is_handed_over_again(
    player: PageCuePlayer, page: OpenPage, clock: SteppedClock
) -> None:
    cues = work_at(1_000, 1_600, 2_000)
    await player.schedule(cues, session_ms=0)
    clock.ms += 1_700
    await player.schedule(cues, session_ms=1_700)
    assert times_of(page.take()[1]) == (1_600, 2_000)


async def test_after_a_pause_no_cue_comes_a_second_time(
    player: PageCuePlayer, page: OpenPage, clock: SteppedClock
) -> None:
    cues = work_at(1_000, 2_000)
    await player.schedule(cues, session_ms=0)
    clock.ms += 1_100
    await player.cancel()
    clock.ms += 60_000
    await player.schedule(cues, session_ms=1_100)
    assert times_of(page.take()[-1]) == (2_000,)


async def test_a_page_that_comes_back_gets_everything_that_still_matters(
    player: PageCuePlayer, page: OpenPage, clock: SteppedClock
) -> None:
    await player.set_mix(haptic=True, tone=False, voice=True, volume=0.5)
    await player.awake(True)
    await player.schedule(work_at(1_000, 5_000), session_ms=0)
    page.take()
    clock.ms += 3_000
    await page.say(hello())
    mix, awake, report, schedule = page.take()
    assert mix == Mix(haptic=True, tone=False, voice=True, volume=0.5)
    assert awake == Awake(on=True)
    assert report == Report(on=False)
    assert isinstance(schedule, Schedule)
    assert schedule.zero_ms == 50_000
    assert times_of(schedule) == (5_000,)


async def test_a_page_that_comes_back_after_a_cancel_is_told_to_cancel(
    player: PageCuePlayer, page: OpenPage
) -> None:
    await player.schedule(work_at(1_000), session_ms=0)
    await player.cancel()
    page.take()
    await page.say(hello())
    assert page.take()[-1] == Cancel()


async def test_a_ping_is_answered_with_the_clock(player: PageCuePlayer, page: OpenPage) -> None:
    ping = parse_from_page('{"kind": "ping", "page_ms": 12.5}')
    assert ping is not None
    await page.say(ping)
    assert page.take() == [Pong(page_ms=12.5, clock_ms=50_000)]


async def test_starting_greets_the_page_and_gives_back_what_it_says(
    player: PageCuePlayer, page: OpenPage
) -> None:
    starting = asyncio.create_task(player.start())
    await asyncio.sleep(0)
    assert page.take() == [Greet()]
    await page.say(hello())
    assert await starting == hello()


async def test_starting_without_a_page_gives_nothing_back(player: PageCuePlayer) -> None:
    assert await player.start(within_s=0) is None


async def test_a_watcher_hears_the_page_until_it_stops_watching(
    player: PageCuePlayer, page: OpenPage
) -> None:
    heard: list[PageMessage] = []
    stop = player.watch(heard.append)
    await page.say(hello())
    hidden = parse_from_page('{"kind": "visibility", "visible": false}')
    assert hidden is not None
    await page.say(hidden)
    stop()
    stop()
    await page.say(hello())
    assert heard == [hello(), hidden]


async def test_the_known_page_follows_its_visibility_and_what_it_can_do(
    player: PageCuePlayer, page: OpenPage
) -> None:
    await page.say(hello())
    for text in (
        '{"kind": "visibility", "visible": false}',
        '{"kind": "capabilities", "capabilities":'
        ' {"vibrate": true, "audio": "running", "voice": "device", "wake_lock": true}}',
    ):
        message = parse_from_page(text)
        assert message is not None
        await page.say(message)
    assert player.page is not None
    assert not player.page.visible
    assert player.page.capabilities.audio == "running"
    assert player.page.zone == "Europe/Lisbon"


async def test_trying_out_and_reporting_go_straight_to_the_page(
    player: PageCuePlayer, page: OpenPage
) -> None:
    await player.play(work_at(0)[0])
    await player.report(True)
    assert page.take() == [Play(cue=work_at(0)[0]), Report(on=True)]


def test_the_quiet_window_reaches_from_120_ms_before_a_cue_to_40_ms_after_it() -> None:
    times = [1_000, 5_000]
    quiet = [ms for ms in range(7_000) if in_quiet_window(times, ms)]
    first = range(1_000 - QUIET_BEFORE_MS, 1_000 + QUIET_AFTER_MS)
    second = range(5_000 - QUIET_BEFORE_MS, 5_000 + QUIET_AFTER_MS)
    assert quiet == [*first, *second]
    assert not in_quiet_window([], 0)


async def test_the_recording_player_keeps_what_it_was_told() -> None:
    player = RecordingCuePlayer()
    await player.schedule(work_at(1_000, 2_000), session_ms=500)
    await player.play(work_at(0)[0])
    await player.awake(True)
    await player.set_mix(haptic=False, tone=True, voice=False, volume=0.1)
    assert (player.pending, player.session_ms) == (work_at(1_000, 2_000), 500)
    assert player.played == [work_at(0)[0]]
    assert player.kept_awake
    assert player.mix == Mix(haptic=False, tone=True, voice=False, volume=0.1)
    await player.cancel()
    assert player.pending == ()
    assert player.calls == ["schedule", "play", "awake", "set_mix", "cancel"]
