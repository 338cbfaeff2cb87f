"""The page side of the cues in a real browser, with the real server and client."""

import pytest
from app_process import enter
from cue_drift import drift
from cue_server import CueServer, open_tab
from flutter_page import await_vibrations, enable_semantics, foreign, vibrations
from playwright.sync_api import BrowserContext, Page

from companion.services.clock import SystemClock
from companion.services.page_messages import SpokenCue
from engine.live.cues import CueKind

pytestmark = [pytest.mark.browser, pytest.mark.alone]
AS_AT_HOME = True

# A sanity bound and no goal: a busy test machine stalls. Later than 300 ms the page drops a cue by itself.
SANE_LATE_MS = 300


def cue(at_ms: int, pattern_ms: tuple[int, ...], kind: CueKind = CueKind.work, words: str = "") -> SpokenCue:
    return SpokenCue(at_ms=at_ms, kind=kind, pattern_ms=pattern_ms, tone=(), words=words)


def patterns(page: Page) -> list[tuple[int, ...]]:
    return [call.pattern_ms for call in vibrations(page)]


def test_ten_scheduled_cues_vibrate_in_order_each_once_with_their_own_pattern(
    context: BrowserContext, cue_server: CueServer
) -> None:
    page, player = open_tab(context, cue_server)
    kinds = (CueKind.work, CueKind.rest)
    cues = [cue(300 + 150 * i, (10 + i, 5, 20), kinds[i % 2]) for i in range(10)]
    cue_server.run(player.report(True))
    cue_server.run(player.schedule(cues, session_ms=0))
    calls = await_vibrations(page, 10)
    fired = cue_server.fired(10)
    assert [call.pattern_ms for call in calls] == [one.pattern_ms for one in cues]
    assert [(one.at_ms, one.cue) for one in fired] == [(one.at_ms, one.kind) for one in cues]
    assert all(one.vibrated and not one.dropped for one in fired)
    assert all(0 <= one.late_ms < SANE_LATE_MS for one in fired), [one.late_ms for one in fired]


def test_a_new_schedule_replaces_what_was_pending(context: BrowserContext, cue_server: CueServer) -> None:
    page, player = open_tab(context, cue_server)
    cue_server.run(player.schedule([cue(400, (11,)), cue(800, (12,))], session_ms=0))
    cue_server.run(player.schedule([cue(500, (21,)), cue(900, (22,))], session_ms=0))
    await_vibrations(page, 2)
    page.wait_for_timeout(300)
    assert patterns(page) == [(21,), (22,)]


def test_handing_over_the_whole_list_again_fires_no_cue_twice_and_loses_none(
    context: BrowserContext, cue_server: CueServer
) -> None:
    page, player = open_tab(context, cue_server)
    clock = SystemClock()
    cues = [cue(200 + 100 * i, (10 + i,)) for i in range(8)]
    started_ms = clock.monotonic_ms()
    cue_server.run(player.schedule(cues, session_ms=0))
    while len(vibrations(page)) < 8:
        cue_server.run(player.schedule(cues, session_ms=clock.monotonic_ms() - started_ms))
    page.wait_for_timeout(300)
    assert patterns(page) == [one.pattern_ms for one in cues]


def test_cancelling_silences_everything_pending(context: BrowserContext, cue_server: CueServer) -> None:
    page, player = open_tab(context, cue_server)
    cue_server.run(player.schedule([cue(300, (31,))], session_ms=0))
    cue_server.run(player.cancel())
    cue_server.run(player.play(cue(0, (32,))))
    await_vibrations(page, 1)
    page.wait_for_timeout(500)
    assert patterns(page) == [(32,)]


def test_cancelling_cuts_off_a_vibration_that_is_going_on(
    context: BrowserContext, cue_server: CueServer
) -> None:
    page, player = open_tab(context, cue_server)
    cue_server.run(player.play(cue(0, (5_000,))))
    await_vibrations(page, 1)
    cue_server.run(player.cancel())
    await_vibrations(page, 2)
    assert patterns(page) == [(5_000,), (0,)]


def test_after_a_stall_late_cues_are_dropped_instead_of_fired_in_a_burst(
    context: BrowserContext, cue_server: CueServer
) -> None:
    page, player = open_tab(context, cue_server)
    cue_server.run(player.report(True))
    stalled = [cue(4_500 + 100 * i, (10 + i,)) for i in range(6)]
    cue_server.run(player.schedule([*stalled, cue(13_000, (99,))], session_ms=0))
    page.evaluate("() => { const end = performance.now() + 6500; while (performance.now() < end); }")
    fired = cue_server.fired(7)
    assert [one.dropped for one in fired] == [True] * 6 + [False]
    assert all(one.late_ms > SANE_LATE_MS for one in fired[:6])
    assert patterns(page) == [(99,)]


def test_in_an_hour_of_stalls_every_cue_keeps_its_place_within_a_frame_or_is_dropped(
    context: BrowserContext,
) -> None:
    told = drift(context.new_page(), seed=1)
    assert len(told.off_ms) > 200
    assert max(map(abs, told.off_ms)) < 17
    assert max(told.stalled_ms) > SANE_LATE_MS


def test_a_reload_goes_on_with_its_session_and_gets_the_coming_cues_again(
    context: BrowserContext, cue_server: CueServer
) -> None:
    page, player = open_tab(context, cue_server)
    token = page.evaluate("sessionStorage.companion_page")
    cue_server.run(player.schedule([cue(30_000, (41,))], session_ms=0))
    page.reload()
    enable_semantics(page)
    page.mouse.click(200, 600)
    cue_server.run(player.schedule([cue(500, (42,))], session_ms=0))
    await_vibrations(page, 1)
    assert patterns(page) == [(42,)]
    assert page.evaluate("sessionStorage.companion_page") == token
    assert not player.superseded


def test_what_is_scheduled_before_a_reload_fires_after_it(
    context: BrowserContext, cue_server: CueServer
) -> None:
    page, player = open_tab(context, cue_server)
    clock = SystemClock()
    started_ms = clock.monotonic_ms()
    cue_server.run(
        player.schedule([cue(at, (at // 100,)) for at in range(1_000, 60_000, 1_000)], session_ms=0)
    )
    page.reload()
    page.mouse.click(200, 600)
    calls = await_vibrations(page, 2)
    running_ms = clock.monotonic_ms() - started_ms
    first, second = calls[0].pattern_ms[0], calls[1].pattern_ms[0]
    assert second == first + 10
    assert second * 100 <= running_ms


def test_a_dropped_socket_is_opened_again_and_cues_come_through(
    context: BrowserContext, cue_server: CueServer
) -> None:
    context.add_init_script(
        """const Socket = window.WebSocket;
        window.__sockets = [];
        window.WebSocket = class extends Socket {
          constructor(...given) { super(...given); window.__sockets.push(this); }
        };"""
    )
    page, player = open_tab(context, cue_server)
    page.evaluate("window.__sockets.filter(one => one.url.includes('/cues')).forEach(one => one.close())")
    page.wait_for_function(
        """() => {
          const all = window.__sockets.filter(one => one.url.includes('/cues'));
          return all.length === 2 && all[1].readyState === WebSocket.OPEN;
        }"""
    )
    cue_server.run(player.schedule([cue(300, (51,))], session_ms=0))
    await_vibrations(page, 1)
    assert patterns(page) == [(51,)]


def test_two_tabs_of_one_browser_each_get_their_own_cues(
    context: BrowserContext, cue_server: CueServer
) -> None:
    first_page, first = open_tab(context, cue_server)
    second_page, second = open_tab(context, cue_server)
    cue_server.run(first.play(cue(0, (61,))))
    cue_server.run(second.play(cue(0, (62,))))
    await_vibrations(first_page, 1)
    await_vibrations(second_page, 1)
    assert patterns(first_page) == [(61,)]
    assert patterns(second_page) == [(62,)]


def test_a_duplicated_tab_takes_a_token_of_its_own(context: BrowserContext, cue_server: CueServer) -> None:
    page, player = open_tab(context, cue_server)
    copied = page.evaluate("JSON.stringify(sessionStorage)")
    context.add_init_script(
        # What a browser does when a tab is duplicated: the new one starts with a copy of the storage.
        f"if (!sessionStorage.duplicated) Object.assign(sessionStorage, {copied}, {{ duplicated: 1 }});"
    )
    other_page, other = open_tab(context, cue_server)
    assert other is not player
    assert not player.superseded
    cue_server.run(player.play(cue(0, (71,))))
    cue_server.run(other.play(cue(0, (72,))))
    await_vibrations(page, 1)
    await_vibrations(other_page, 1)
    assert (patterns(page), patterns(other_page)) == ([(71,)], [(72,)])


def test_the_page_tells_its_time_zone_and_what_it_can_do(
    context: BrowserContext, cue_server: CueServer
) -> None:
    _, player = open_tab(context, cue_server)
    assert player.page is not None
    assert player.page.zone == "Europe/Lisbon"
    assert player.page.visible
    assert player.page.capabilities.vibrate
    assert player.page.capabilities.wake_lock


def test_the_client_loads_from_this_server_alone_and_without_an_error(
    context: BrowserContext, cue_server: CueServer
) -> None:
    page = context.new_page()
    urls: list[str] = []
    complaints: list[str] = []
    page.on("request", lambda request: urls.append(request.url))
    page.on("console", lambda message: complaints.append(message.text) if message.type == "error" else None)
    page.on("pageerror", lambda fault: complaints.append(str(fault)))
    enter(page, cue_server.url)
    cue_server.player()
    enable_semantics(page)
    page.get_by_text("Ready to go").wait_for(state="attached")
    assert foreign(urls, cue_server.url) == []
    assert complaints == []
