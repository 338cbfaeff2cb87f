"""What a cue does beside vibrating (tones, voice, the screen kept on), and the page of the offline build.

Sound, voices and the screen are the browser's; a headless one has no loudspeaker, no voice and no screen, so
the test stands in for those and watches what the page asks of them.
"""

import pytest
from app_process import enter, let_in
from cue_server import CueServer, open_tab
from flutter_page import VOICES, WAKE_LOCKS, await_vibrations, vibrations
from playwright.sync_api import BrowserContext, Page

from companion.services.clock import SystemClock
from companion.services.page_channel import is_page_token
from companion.services.page_cues import PageCuePlayer
from companion.services.page_messages import (
    Greet,
    Hello,
    Message,
    Ping,
    Pong,
    Schedule,
    SpokenCue,
    parse_from_page,
)
from engine.live.cues import CueKind, Tone

pytestmark = [pytest.mark.browser, pytest.mark.alone]
AS_AT_HOME = True

RECORD_TONES = """
window.__tones = [];
const start = AudioScheduledSourceNode.prototype.start;
AudioScheduledSourceNode.prototype.start = function (at) {
  const tone = { hz: this.frequency.value, at, clock: this.context.currentTime };
  const stop = this.stop;
  this.stop = function (until) {
    if (until === undefined) tone.taken_back = true;
    else tone.until = until;
    return stop.apply(this, arguments);
  };
  window.__tones.push(tone);
  return start.apply(this, arguments);
};
"""

RECORD_WORDS = """
window.__words = [];
const start = AudioBufferSourceNode.prototype.start;
AudioBufferSourceNode.prototype.start = function (at, from, lasts) {
  const piece = { from_ms: Math.round(1000 * from), stopped: false };
  const stop = this.stop;
  this.stop = function () { piece.stopped = true; return stop.apply(this, arguments); };
  window.__words.push(piece);
  return start.apply(this, arguments);
};
const unpack = BaseAudioContext.prototype.decodeAudioData;
BaseAudioContext.prototype.decodeAudioData = async function (packed) {
  const sound = await unpack.call(this, packed);
  window.__places = await (await fetch("voice/words.json")).json();
  window.__unpacked = sound;
  return sound;
};
"""

RECORD_LOUDNESS = """
window.__loudness = [];
const ramp = AudioParam.prototype.linearRampToValueAtTime;
AudioParam.prototype.linearRampToValueAtTime = function (value) {
  if (value > 0) window.__loudness.push(value);
  return ramp.apply(this, arguments);
};
"""

PIECES_SAID = """() => window.__words.map(one =>
  Object.keys(window.__places).find(piece => window.__places[piece][0] === one.from_ms))"""

# The mean power in the quietest of the places, and the greatest between two of them.
HEARD_IN_WORDS_AND_GAPS = """() => {
  const sound = window.__unpacked, samples = sound.getChannelData(0);
  const power = (from, to) => {
    const part = samples.subarray(from * sound.sampleRate / 1000, to * sound.sampleRate / 1000);
    return part.reduce((sum, one) => sum + one * one, 0) / part.length;
  };
  const places = Object.values(window.__places).sort(([one], [other]) => one - other);
  const gaps = places.slice(1).map(([from], at) => power(places[at][1], from));
  return [Math.min(...places.map(([from, to]) => power(from, to))), Math.max(...gaps)];
}"""


def sounding(at_ms: int, *hz: int, words: str = "") -> SpokenCue:
    tones = tuple(Tone(start_ms=200 * i, length_ms=100, hz=one) for i, one in enumerate(hz))
    return SpokenCue(at_ms=at_ms, kind=CueKind.work, pattern_ms=(10,), tone=tones, words=words)


def open_sounding_tab(context: BrowserContext, cue_server: CueServer) -> tuple[Page, PageCuePlayer]:
    """A tab that was tapped and whose sound runs."""
    context.add_init_script(RECORD_TONES)
    page, player = open_tab(context, cue_server)
    cue_server.until(lambda: player.page is not None and player.page.capabilities.audio == "running")
    return page, player


LAID_AS = (
    "wanted => window.__tones.filter((one) => !one.taken_back).map((one) => one.hz).sort().join() === wanted"
)


def tones(page: Page, *hz: int) -> list[dict[str, float]]:
    """The tones on the audio clock by their start, once they are these; one may be laid anew."""
    page.wait_for_function(LAID_AS, arg=",".join(map(str, sorted(hz))))
    found: list[dict[str, float]] = page.evaluate("window.__tones.filter((one) => !one.taken_back)")
    return sorted(found, key=lambda tone: tone["at"])


def test_sound_is_locked_until_the_first_tap_and_python_is_told_when_it_runs(
    context: BrowserContext, cue_server: CueServer
) -> None:
    page = context.new_page()
    enter(page, cue_server.url)
    player = cue_server.player()
    assert player.page is not None
    assert player.page.capabilities.audio == "locked"
    page.mouse.click(200, 600)
    cue_server.until(lambda: player.page is not None and player.page.capabilities.audio == "running")


def test_tones_are_laid_on_the_audio_clock_ahead_of_time_at_their_places(
    context: BrowserContext, cue_server: CueServer
) -> None:
    page, player = open_sounding_tab(context, cue_server)
    cue_server.run(player.schedule([sounding(20_000, 520, 660), sounding(25_000, 440)], session_ms=0))
    found = tones(page, 520, 660, 440)
    assert [tone["hz"] for tone in found] == [520, 660, 440]
    assert all(tone["at"] - tone["clock"] > 10 for tone in found)
    assert found[1]["at"] - found[0]["at"] == pytest.approx(0.2, abs=1e-6)
    assert found[2]["at"] - found[0]["at"] == pytest.approx(5, abs=1e-6)
    assert [tone["until"] - tone["at"] for tone in found] == pytest.approx([0.1] * 3, abs=1e-6)


def test_a_replaced_schedule_takes_its_tones_back(context: BrowserContext, cue_server: CueServer) -> None:
    page, player = open_sounding_tab(context, cue_server)
    cue_server.run(player.schedule([sounding(20_000, 520)], session_ms=0))
    tones(page, 520)
    cue_server.run(player.schedule([sounding(30_000, 660)], session_ms=0))
    tones(page, 660)


def test_a_cue_without_its_tone_still_vibrates_and_the_other_way_round(
    context: BrowserContext, cue_server: CueServer
) -> None:
    page, player = open_sounding_tab(context, cue_server)
    cue_server.run(player.set_mix(haptic=True, tone=False, voice=False, volume=1))
    cue_server.run(player.play(sounding(0, 520)))
    await_vibrations(page, 1)
    assert page.evaluate("window.__tones") == []
    cue_server.run(player.set_mix(haptic=False, tone=True, voice=False, volume=1))
    cue_server.run(player.play(sounding(0, 660)))
    tones(page, 660)
    assert len(vibrations(page)) == 1


def test_words_are_spoken_by_a_voice_of_the_device_in_the_language_of_the_page(
    context: BrowserContext, cue_server: CueServer
) -> None:
    context.add_init_script(VOICES)
    page, player = open_tab(context, cue_server)
    assert player.page is not None
    assert player.page.capabilities.voice == "device"
    cue_server.run(player.play(sounding(0, words="Not yet.")))
    cue_server.run(player.set_mix(haptic=True, tone=True, voice=True, volume=0.5))
    cue_server.run(player.play(sounding(0, words="Row, left.")))
    page.wait_for_function("() => window.__spoken.length > 0")
    assert page.evaluate("window.__spoken") == ["Row, left. / near"]


def test_where_the_device_has_no_voice_prepared_words_are_said_piece_by_piece(
    context: BrowserContext, cue_server: CueServer
) -> None:
    context.add_init_script(RECORD_WORDS)
    page, player = open_sounding_tab(context, cue_server)
    assert player.capabilities is not None
    assert player.capabilities.voice == "prepared"
    cue_server.run(player.set_mix(haptic=True, tone=True, voice=True, volume=0.5))
    page.wait_for_function("() => window.__unpacked")
    cue_server.run(player.play(sounding(0, words="Rest. Next: Goblet squat.")))
    cue_server.run(player.play(sounding(0, words="A name of their own, left. 122.5 kilograms each.")))
    cue_server.run(player.play(sounding(0, words="Three, two, one.")))
    page.wait_for_function("() => window.__words.length === 13")
    load = ["1", "hundred", "20", "2", "point", "5", "kilograms", "each"]
    assert page.evaluate(PIECES_SAID) == ["Rest", "Next", "Goblet squat", "left", *load, "Three, two, one"]
    assert page.evaluate("window.__words.map(one => one.stopped)") == [True] * 12 + [False]
    quietest_word, loudest_gap = page.evaluate(HEARD_IN_WORDS_AND_GAPS)
    assert quietest_word > 100 * loudest_gap


def test_a_tone_is_softer_where_words_are_said_over_it(
    context: BrowserContext, cue_server: CueServer
) -> None:
    context.add_init_script(RECORD_LOUDNESS)
    page, player = open_sounding_tab(context, cue_server)
    cue_server.run(player.set_mix(haptic=True, tone=True, voice=True, volume=0.5))
    cue_server.run(player.play(sounding(0, 520)))
    cue_server.run(player.play(sounding(0, 520, words="Rest.")))
    page.wait_for_function("() => window.__loudness.length === 2")
    alone, under_words = page.evaluate("window.__loudness")
    assert alone == 0.5
    assert 0.1 < under_words < 0.3


def test_the_screen_is_kept_on_and_taken_again_when_the_page_is_seen_again(
    context: BrowserContext, cue_server: CueServer
) -> None:
    context.add_init_script(WAKE_LOCKS)
    page, player = open_tab(context, cue_server)
    held = "() => window.__locks.map(lock => lock.held).join()"
    cue_server.run(player.awake(True))
    page.wait_for_function(f"() => ({held})() === 'true'")
    page.evaluate("window.__locks[0].release()")  # as a browser does when the page is hidden
    page.evaluate("window.__show('hidden')")
    page.evaluate("window.__show('visible')")
    page.wait_for_function(f"() => ({held})() === 'false,true'")
    cue_server.run(player.awake(False))
    page.wait_for_function(f"() => ({held})() === 'false,false'")


def test_python_is_told_when_the_page_is_hidden(context: BrowserContext, cue_server: CueServer) -> None:
    context.add_init_script(WAKE_LOCKS)
    page, player = open_tab(context, cue_server)
    page.evaluate("window.__show('hidden')")
    cue_server.until(lambda: player.page is not None and not player.page.visible)
    page.evaluate("window.__show('visible')")
    cue_server.until(lambda: player.page is not None and player.page.visible)


# The offline build: Python sits in a worker of the page and talks over a broadcast channel. Here a second
# page of the same origin plays the worker; the phone gate starts the real one.

OFFLINE_PAGE = """<!DOCTYPE html><html lang="en"><script>
var flet = { pyodide: true, webSocketEndpoint: "/ws" };
globalThis.jsConnect = async (id, args) => { window.__args = args; };
</script><script src="/cues.js"></script></html>"""

WORKER_PAGE = "<!DOCTYPE html><html><title>Worker</title></html>"


class OfflinePage:
    """A page of the offline build and the channel to it, as the worker has it."""

    def __init__(self, context: BrowserContext, url: str) -> None:
        let_in(context, url)
        for name, html in (("offline", OFFLINE_PAGE), ("worker", WORKER_PAGE)):
            context.route(f"{url}{name}", _answer_with(html))
        self.page = context.new_page()
        self.page.goto(f"{url}offline")
        self.page.evaluate("() => jsConnect('app', { script: 'main' }, null)")
        self.arguments: dict[str, str] = self.page.evaluate("window.__args")
        self.worker = context.new_page()
        self.worker.goto(f"{url}worker")
        self.worker.evaluate(
            """name => {
              window.__heard = [];
              window.__channel = new BroadcastChannel(name);
              window.__channel.onmessage = event => window.__heard.push(event.data);
            }""",
            f"cues-{self.arguments['page_token']}",
        )
        self.page.bring_to_front()

    def send(self, message: Message) -> None:
        self.worker.evaluate("text => window.__channel.postMessage(text)", message.model_dump_json())

    def hear(self, kind: str) -> str:
        """The first message of a kind, once it is there."""
        first = "kind => window.__heard.find(text => JSON.parse(text).kind === kind)"
        self.worker.wait_for_function(first, arg=kind)
        return str(self.worker.evaluate(first, kind))


def _answer_with(html: str):  # type: ignore[no-untyped-def]
    return lambda route: route.fulfill(body=html, content_type="text/html")


def test_the_offline_page_hands_its_token_to_the_worker_beside_the_client_s_arguments(
    context: BrowserContext, cue_server: CueServer
) -> None:
    offline = OfflinePage(context, cue_server.url)
    assert offline.arguments["script"] == "main"
    assert is_page_token(offline.arguments["page_token"])


def test_the_offline_page_answers_a_greeting_and_fires_the_cues_of_its_worker(
    context: BrowserContext, cue_server: CueServer
) -> None:
    offline = OfflinePage(context, cue_server.url)
    offline.page.mouse.click(100, 100)
    offline.send(Greet())
    assert isinstance(parse_from_page(offline.hear("hello")), Hello)
    ping = parse_from_page(offline.hear("ping"))
    assert isinstance(ping, Ping)
    now_ms = SystemClock().monotonic_ms()
    offline.send(Pong(page_ms=ping.page_ms, clock_ms=now_ms))
    offline.send(Schedule(zero_ms=now_ms, cues=(sounding(3_000), sounding(3_500))))
    assert [call.pattern_ms for call in await_vibrations(offline.page, 2)] == [(10,), (10,)]


BUSY_WORKER = """() => {
const channel = window.__channel;
const clock = () => Math.floor(performance.timeOrigin + performance.now());
let answered = 0;
channel.onmessage = event => {
  const message = JSON.parse(event.data);
  if (message.kind !== "ping") return;
  const answer = () => channel.postMessage(
    JSON.stringify({ kind: "pong", page_ms: message.page_ms, clock_ms: clock() }));
  if (answered++ < 5) setTimeout(answer, 600);
  else answer();
};
}"""


def test_the_clocks_agree_though_python_was_busy_when_the_page_first_asked(
    context: BrowserContext, cue_server: CueServer
) -> None:
    """The first answers are 600 ms late, and halving their trips puts the clocks some 300 ms apart."""
    offline = OfflinePage(context, cue_server.url)
    offline.worker.evaluate(BUSY_WORKER)
    offline.send(Greet())
    apart_ms = """() => {
      const now = performance.now();
      return Math.abs(companionPage.pageTime(performance.timeOrigin + now) - now);
    }"""
    offline.page.wait_for_function("() => companionPage.measured()")
    offline.page.wait_for_function(f"() => ({apart_ms})() < 50")
    offline.page.wait_for_timeout(1_500)
    assert offline.page.evaluate(apart_ms) < 50
