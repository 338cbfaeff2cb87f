"""The application: puts services, storage and screens together, and shows what nobody expected.

python -m companion.app [--port N] [--data FOLDER] [--demo] [--no-open] [--window]
"""

from __future__ import annotations

import argparse
import asyncio
import contextlib
import importlib
import importlib.util
import logging
import os
import sys
import webbrowser
from collections.abc import Callable, Sequence
from functools import partial
from pathlib import Path
from typing import Any

import flet as ft
from flet.utils import is_linux_server

from companion.actions.actions import Actions
from companion.services.clock import SystemClock, local_zone
from companion.services.device_cues import DeviceCuePlayer
from companion.services.files import PageFiles
from companion.services.page_channel import PageChannel, SocketChannel
from companion.services.page_cues import PageCuePlayer
from companion.services.page_messages import CapabilitiesChanged, FilesDropped, PageMessage
from companion.services.touch import android_touch, by_pulses
from companion.state.screen import Screen
from companion.views.controls.frame import page_frame, read_only_notice, screen
from companion.views.controls.parts import notice, words
from companion.views.controls.theme import TOUCH_MAIN_PX, Role, Space, apply_theme
from companion.views.home.cautions import cautions_screen
from companion.views.session.setup import setup_screen
from companion.window.records import FolderRecords, Records
from companion.window.window import Window
from engine.live.state import Status
from storage.folder.location import default_folder
from storage.folder.owner import Owners
from storage.models import Theme
from storage.problem import StorageProblem
from storage.store import Store

ASSETS = Path(__file__).parent / "assets"
TITLE = "Session companion"
WATCH_S = 0.05
AFTER_FAULT_S = 5
UNREADABLE = "The records cannot be read"
UNEXPECTED = "Something went wrong. What was recorded is kept."
NOTHING_FELT = (
    "This window gives no vibration and no sound: keep the clock in view. In the browser every switch can be "
    "felt or heard."
)
NO_DISPLAY = "There is no display to open a window on: leave --window out and use the browser."
NO_CLIENT = "Flet's desktop client is not installed: use `python3 build/dev.py run --window`."
TOLD_FOR_MS = 8_000
DRAWN_IN = {
    Screen.running: "session.running",
    Screen.hurt: "session.hurt",
    Screen.log: "after.log",
    Screen.week: "after.week",
    Screen.record: "after.record",
    Screen.afterwards: "after.afterwards",
    Screen.kit: "home.kit",
    Screen.plans: "home.plans",
    Screen.plan: "home.plans",
    Screen.adjustment: "home.adjustment",
    Screen.cues: "home.cues",
    Screen.settings: "home.settings",
    Screen.desk: "desk.desk",
    Screen.pages: "desk.pages",
}
"""The module of each screen that is imported with its first use; its drawer is named after the screen."""
SERVER_ONLY = "FLET_FORCE_WEB_SERVER"
PACKAGED_DATA = "FLET_APP_STORAGE_DATA"


@ft.component
def root(window: Window) -> list[ft.View]:
    """The one screen that is on; drawn again after every action."""
    _, draw = ft.use_state(0)
    window.draw = lambda: draw(lambda drawn: drawn + 1)
    state = window.state
    theme = state.device.settings.theme
    ft.use_effect(partial(_dress, ft.context.page, theme), [theme])
    banner = read_only_notice(state.read_only, window.take_over) if state.read_only else None
    return [screen("/", _screen(window), above=banner)]


def _dress(page: ft.Page, theme: Theme) -> None:
    page.theme_mode = ft.ThemeMode(theme.value)
    page.update()


def drawer_of(screen: Screen) -> Callable[..., ft.Control]:
    """What draws a screen; its module is imported with its first use, so that no start waits for it."""
    module = importlib.import_module(f"companion.views.{DRAWN_IN[screen]}")
    drawer: Callable[..., ft.Control] = getattr(module, f"{screen}_screen")
    return drawer


def _screen(window: Window) -> ft.Control:
    """The screen that the state names, with the actions of that screen and the ways to others."""
    state, do = window.state, window.do
    if state.screen is Screen.cautions:
        return cautions_screen(do.opening.accept_cautions)  # type: ignore[no-any-return]
    if state.screen is Screen.setup:
        return setup_screen(state, do.setup, do.go)  # type: ignore[no-any-return]
    return drawer_of(state.screen)(state, _actions_of(state.screen, do), do.go)


def _actions_of(screen: Screen, do: Actions) -> object:
    """What can be done on a screen: the actions of its name, but for two."""
    return getattr(do, {Screen.running: "session", Screen.plan: "plans"}.get(screen, screen.value))


async def run_page(page: ft.Page, window: Window) -> None:
    """One window on a page: its screens, its keys, and the watch over its clock."""
    apply_theme(page)
    page.title = TITLE
    page.on_close = lambda _: window.close()
    page.on_resize = lambda _: window.draw()
    page.on_connect = partial(_ask_for_motion, window)  # the same window, on a page that was loaded again
    window.files = PageFiles(ft.FilePicker(), ft.Clipboard())
    # Flet has logged the fault; its own answer would lay the traceback over the screen.
    setattr(page.session, "error", partial(_present, page, window))  # noqa: B010
    _forgive_late_answers(page)
    try:
        await window.open()
    except StorageProblem as problem:
        page.views[:] = [screen("/", page_frame([notice("danger", str(problem))], title=UNREADABLE))]
        page.update()
        return
    page.on_keyboard_event = partial(_keys, window)
    page.render_views(root, window)
    page.run_task(_watch, page, window)
    page.run_task(_ask_for_motion, window)


async def _ask_for_motion(window: Window, _: object = None) -> None:
    """Whether the device asks for less motion; a client that does not tell leaves it to the settings."""
    with contextlib.suppress(RuntimeError, TimeoutError):
        asked = await ft.SemanticsService().get_accessibility_features()
        window.move_less(asked.reduce_motion or asked.disable_animations)


def _forgive_late_answers(page: ft.Page) -> None:
    """The client may answer a call to a control that has gone meanwhile; Flet would drop its socket then."""
    answered = page.session.handle_invoke_method_results

    def forgiving(*answer: Any) -> None:
        with contextlib.suppress(RuntimeError):
            answered(*answer)

    setattr(page.session, "handle_invoke_method_results", forgiving)  # noqa: B010


def _present(page: ft.Page, window: Window, fault: str) -> None:
    """What nobody expected, in one sentence, above the actions of the screen."""
    window.state.problem = next(iter(fault.splitlines()), "") or UNEXPECTED
    margin = ft.Margin.only(left=Space.M, right=Space.M, bottom=TOUCH_MAIN_PX + 3 * Space.M)
    page.show_dialog(
        ft.SnackBar(
            words(window.state.problem, colour=Role.BACKGROUND),
            behavior=ft.SnackBarBehavior.FLOATING,
            margin=margin,
            duration=TOLD_FOR_MS,
        )
    )


async def _watch(page: ft.Page, window: Window) -> None:
    """Enters the segments that the clock begins, and presents what nobody expected of it."""
    while not window.closed:
        try:
            await window.watch()
            await asyncio.sleep(WATCH_S)
        except Exception as problem:
            logging.exception("watching the session")
            _present(page, window, str(problem))
            await asyncio.sleep(AFTER_FAULT_S)


async def _keys(window: Window, event: ft.KeyboardEvent) -> None:
    """P pauses and goes on, the arrows skip and step back; only while a session runs.

    The space bar and Enter belong to the button that the keyboard is on: Pause and Go on, until Tab moves it.
    """
    do, live = window.do.session, window.state.run.live
    if window.state.screen is Screen.desk:
        await _desk_keys(window, event)
        return
    if window.state.screen is not Screen.running or live is None or event.ctrl or event.alt or event.meta:
        return
    paused = live.state.status is Status.paused
    if event.key.upper() == "P":
        await (do.resume() if paused else do.pause())
    elif event.key == "Arrow Right" and not paused:
        await do.skip()
    elif event.key == "Arrow Left" and not paused:
        await do.back()


async def _desk_keys(window: Window, event: ft.KeyboardEvent) -> None:
    """Ctrl or Cmd with Z takes back, with Y or Shift and Z writes again; in a field they are the field's."""
    plan, key = window.state.desk.plan, event.key.upper()
    if plan is None or plan.in_field or event.alt or not (event.ctrl or event.meta):
        return
    if key == "Y" or (key == "Z" and event.shift):
        await window.do.desk.edit.write_again()
    elif key == "Z":
        await window.do.desk.edit.take_back()


async def page_main(page: ft.Page) -> None:
    """The entry of the offline build: one page and its own Python; everything is kept in the browser."""
    from companion.services.page_worker import open_page_channel
    from companion.window.browser_records import BrowserRecords

    await run_page(page, await _beside_a_page(open_page_channel(), BrowserRecords()))


async def _beside_a_page(channel: PageChannel, records: Records) -> Window:
    """A window whose cues and zone are those of the page's script."""
    cues = PageCuePlayer(channel, SystemClock())
    hello = await cues.start()
    window = Window(records, clock=SystemClock(), cues=cues, zone=hello.zone if hello else "UTC")
    window.take_link = cues.take_link
    cues.watch(partial(_show_capabilities, window))
    cues.watch(partial(_note_dropped, window))
    return window


def _show_capabilities(window: Window, message: PageMessage) -> None:
    if isinstance(message, CapabilitiesChanged) and window.state.screen is Screen.cues:
        window.draw()


def _note_dropped(window: Window, message: PageMessage) -> None:
    if isinstance(message, FilesDropped):
        window.files_dropped = True


async def device_main(page: ft.Page, *, records: Records) -> None:
    """The entry where there is no page of ours: Flet's client in a window of its own, or on a phone."""
    haptic, wakelock = ft.HapticFeedback(), ft.Wakelock()
    felt = page.platform is not None and page.platform.is_mobile()
    cues = DeviceCuePlayer(
        SystemClock(),
        touch=(android_touch() or by_pulses(haptic.heavy_impact)) if felt else None,
        keep_awake=lambda on: wakelock.enable() if on else wakelock.disable(),  # type: ignore[no-untyped-call]
    )
    remark = "" if felt else NOTHING_FELT
    window = Window(records, clock=SystemClock(), cues=cues, zone=local_zone(), remark=remark)
    await run_page(page, window)


async def packaged_main(page: ft.Page) -> None:
    """The entry of a package for a phone or a desk; its client names the folder of the application."""
    folder = Path(os.environ[PACKAGED_DATA]) / "records"
    await device_main(page, records=FolderRecords(Owners(), folder, "package", fill=_nothing))


async def _nothing(_: Store) -> None:
    """A new folder begins empty."""


def _folder(options: argparse.Namespace) -> Path:
    from companion.samples.demo import demo_folder

    if options.data:
        return Path(options.data)
    return demo_folder() if options.demo else default_folder()


def _records(options: argparse.Namespace, owners: Owners, token: str) -> FolderRecords:
    from companion.samples.demo import make_demo

    async def fill(store: Store) -> None:
        if options.demo:
            await make_demo(store, today=SystemClock().now().date())

    return FolderRecords(owners, _folder(options), token, fill=fill)


def _serve(options: argparse.Namespace) -> None:
    from companion.web.server import serve

    owners = Owners()

    async def window(page: ft.Page, channel: SocketChannel) -> None:
        records = _records(options, owners, channel.token)
        await run_page(page, await _beside_a_page(channel, records))

    def ready(address: str) -> None:
        print(f"The session companion is at {address}", flush=True)
        print(f"Its records are in {_folder(options)}", flush=True)
        if not options.no_open:
            webbrowser.open(address)

    asyncio.run(serve(window, port=options.port, assets_dir=ASSETS, on_ready=ready))


def _open_window(options: argparse.Namespace) -> int:
    """Flet's desktop client over a socket of this computer; returns when its window is closed."""
    os.environ.pop(SERVER_ONLY, None)  # or Flet would serve the application to a network instead
    no_display = is_linux_server()  # type: ignore[no-untyped-call]
    if no_display or importlib.util.find_spec("flet_desktop") is None:
        print(NO_DISPLAY if no_display else NO_CLIENT, file=sys.stderr)
        return 2
    records = _records(options, Owners(), "window")
    ft.run(partial(device_main, records=records), assets_dir=str(ASSETS))
    return 0


def main(arguments: Sequence[str] | None = None) -> int:
    parser = argparse.ArgumentParser(prog="companion.app", description="Opens the session companion.")
    parser.add_argument("--port", type=int, default=0, help="0 takes a free one")
    parser.add_argument("--data", metavar="FOLDER", help="where the records are kept")
    parser.add_argument("--demo", action="store_true", help="with invented weeks, in a folder of their own")
    parser.add_argument("--no-open", action="store_true", help="print the address and open nothing")
    parser.add_argument(
        "--window",
        action="store_true",
        help="in Flet's desktop client (see README)",
    )
    options: Any = parser.parse_args(arguments)
    try:
        if options.window:
            return _open_window(options)
        _serve(options)
    except OSError as problem:
        print(f"The address cannot be used: {problem.strerror or problem}.", file=sys.stderr)
        return 2
    except KeyboardInterrupt:
        return 0
    return 0


if __name__ == "__main__":
    sys.exit(main())
