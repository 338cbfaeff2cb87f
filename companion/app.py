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
from collections.abc import Sequence
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

import flet as ft
from flet.utils import is_linux_server

from companion.services.clock import SystemClock
from companion.services.faults import keep_faults
from companion.services.files import PageFiles
from companion.services.page_channel import SocketChannel
from companion.state.screen import Screen
from companion.views.controls.frame import page_frame, read_only_notice, screen, unsaved_line, unsaved_notice
from companion.views.controls.parts import notice, words
from companion.views.controls.theme import TOUCH_MAIN_PX, Role, Space, apply_theme
from companion.views.home.who import who_screen
from companion.views.screens import current_screen
from companion.window.keys import press_key
from companion.window.records import Records
from companion.window.window import Window
from companion.window.with_cues import window_on_device, window_on_page
from companion.words import saying
from companion.words.faults import why
from companion.words.language import Language
from companion.words.saying import msgid, say
from companion.words.words import Words
from engine.base.issue import WrongValue
from storage.models import Theme
from storage.problem import StorageProblem
from storage.store import Store

if TYPE_CHECKING:
    from companion.window.folder_records import FolderRecords
    from storage.folder.owner import Owners

ASSETS = Path(__file__).parent / "assets"
TITLE = msgid("Session companion")
WATCH_S = 0.05
GONE_AFTER_S = 5.0
"""How long a page may be away before its window lets go: long enough for a reload. † Our judgement."""
AFTER_FAULT_S = 5
_leaving: set[asyncio.Task[None]] = set()
UNREADABLE = msgid("The records cannot be read")
UNEXPECTED = msgid("Something went wrong. What was recorded is kept.")
NO_DISPLAY = msgid("There is no display to open a window on: leave out --window to use the browser.")
NO_CLIENT = msgid("The desktop window is not installed. Start it with: python3 build/dev.py run --window")
TOLD_FOR_MS = 8_000
SERVER_ONLY = "FLET_FORCE_WEB_SERVER"
_windows: dict[str, Window] = {}
"""The open windows by the sessions of their pages."""
PACKAGED_DATA = "FLET_APP_STORAGE_DATA"


@ft.component
def root(window: Window) -> list[ft.View]:
    """Draws the current screen, and draws it again after every action."""
    _, draw = ft.use_state(0)
    window.draw = lambda: draw(lambda drawn: drawn + 1)
    state = window.state
    theme, language = state.device.settings.theme, state.words.language
    ft.use_effect(partial(_dress, ft.context.page, theme, language), [theme, language.code])
    if window.who.asked:
        return [screen("/", who_screen(window.who.asked, window.who.train_as, window.state.said))]
    shown, state = current_screen(window.state, window.do), window.state
    if state.screen is Screen.hurt and not state.read_only:  # nothing comes before “Stop. Weight down.”
        return [screen("/", shown, below=unsaved_line() if state.unsaved else None)]
    return [screen("/", shown, above=_banner(window))]


@ft.component
def unreadable(problem: str) -> list[ft.View]:
    """Says why the records cannot be read; there is nothing else to do here."""
    return [screen("/", page_frame([notice("danger", problem)], title=say(UNREADABLE)))]


def _banner(window: Window) -> ft.Control | None:
    """What must be known on every screen: that nothing can be changed, or that something is not saved yet."""
    state = window.state
    if state.read_only:
        return read_only_notice(state.read_only, window.take_over, in_progress=state.run.elsewhere)
    return unsaved_notice(state.unsaved) if state.unsaved else None


def _dress(page: ft.Page, theme: Theme, language: Language) -> None:
    page.theme_mode = ft.ThemeMode(theme.value)
    page.rtl, page.title = language.locale.is_rtl, say(TITLE)
    page.update()


async def run_page(page: ft.Page, window: Window) -> None:
    """Shows a window on a page: its screens, its keys, and the watch over its clock."""
    keep_faults()
    _windows[page.session.id] = window
    apply_theme(page)
    page.title = say(TITLE)
    page.on_close = lambda _: _close(page, window)
    page.on_resize = lambda _: window.draw()
    page.on_connect = partial(_come_back, window)  # the same window, on a page that was loaded again
    page.on_disconnect = partial(_leave, page, window)
    window.files = PageFiles(ft.FilePicker(), ft.Clipboard())
    # Flet has logged the fault; its own answer would lay the traceback over the screen.
    setattr(page.session, "error", partial(_present, page, window))  # noqa: B010
    _forgive_late_answers(page)
    try:
        await window.who.begin()
    except StorageProblem as problem:
        page.render_views(unreadable, why(problem))
        return
    page.on_keyboard_event = partial(press_key, window)
    page.render_views(root, window)
    page.run_task(_watch, page, window)
    page.run_task(_ask_for_motion, window)


def _close(page: ft.Page, window: Window) -> None:
    _windows.pop(page.session.id, None)
    window.close()


def _words_of_window() -> Words | None:
    """The words of the window whose page Flet works for."""
    try:
        window = _windows.get(ft.context.page.session.id)
    except RuntimeError:
        return None
    return window.state.words if window else None


saying.of_window.append(_words_of_window)


def _leave(page: ft.Page, window: Window, _: object) -> None:
    """Sees to it that a window lets go. Flet starts no task of a page that is away."""
    task = asyncio.ensure_future(_let_go(page, window))
    _leaving.add(task)
    task.add_done_callback(_leaving.discard)


async def _let_go(page: ft.Page, window: Window) -> None:
    """Frees the records where the page does not come back; most pages that go are loaded again."""
    left = page.session.expires_at
    await asyncio.sleep(GONE_AFTER_S)
    if left is not None and page.session.expires_at == left and not window.closed:
        await window.let_go()


async def _come_back(window: Window, _: object) -> None:
    await window.come_back()
    await _ask_for_motion(window)


async def _ask_for_motion(window: Window, _: object = None) -> None:
    """Asks whether the device wants less motion. Where the client does not answer, the settings decide."""
    with contextlib.suppress(RuntimeError, TimeoutError):
        asked = await ft.SemanticsService().get_accessibility_features()
        window.move_less(asked.reduce_motion or asked.disable_animations)


def _forgive_late_answers(page: ft.Page) -> None:
    """Ignores answers of the client for controls that are gone: Flet would close the connection over them."""
    answered = page.session.handle_invoke_method_results

    def forgiving(*answer: Any) -> None:
        with contextlib.suppress(RuntimeError):
            answered(*answer)

    setattr(page.session, "handle_invoke_method_results", forgiving)  # noqa: B010


def _present(page: ft.Page, window: Window, _: str = "") -> None:
    """Says in one sentence what refused, or that something went wrong, above the actions of the screen."""
    window.state.problem = _sentence(sys.exc_info()[1])
    margin = ft.Margin.only(left=Space.M, right=Space.M, bottom=TOUCH_MAIN_PX + 3 * Space.M)
    page.show_dialog(
        ft.SnackBar(
            words(window.state.problem, colour=Role.BACKGROUND),
            behavior=ft.SnackBarBehavior.FLOATING,
            margin=margin,
            duration=TOLD_FOR_MS,
        )
    )


def _sentence(fault: BaseException | None) -> str:
    """What is said of a fault: Flet calls while it is handled."""
    return why(fault) if isinstance(fault, StorageProblem | WrongValue) else say(UNEXPECTED)


async def _watch(page: ft.Page, window: Window) -> None:
    """Lets the window follow its clock, and presents what goes wrong in that."""
    while not window.closed:
        try:
            await window.watch()
            await asyncio.sleep(WATCH_S)
        except Exception:
            logging.exception("watching the session")
            _present(page, window)
            await asyncio.sleep(AFTER_FAULT_S)


async def page_main(page: ft.Page) -> None:
    """The entry of the offline build: the page has its own Python, and all records stay in the browser."""
    from companion.services.page_worker import open_page_channel
    from companion.window.browser_records import BrowserRecords

    await run_page(page, await window_on_page(open_page_channel(), BrowserRecords()))


async def device_main(page: ft.Page, *, records: Records) -> None:
    """The entry where there is no page of ours: Flet's client in a window of its own, or on a phone."""
    await run_page(page, window_on_device(page, records))


async def packaged_main(page: ft.Page) -> None:
    """The entry of a package for a phone or a desk; the client says which folder it may use."""
    from companion.window.folder_records import FolderRecords
    from storage.folder.owner import Owners

    folder = Path(os.environ[PACKAGED_DATA]) / "records"
    await device_main(page, records=FolderRecords(Owners(), folder, "package", fill=_nothing))


async def _nothing(_: Store) -> None:
    """A new folder starts empty."""


def _folder(options: argparse.Namespace) -> Path:
    from companion.samples.demo import demo_folder
    from storage.folder.location import default_folder

    if options.data:
        return Path(options.data)
    return demo_folder() if options.demo else default_folder()


def _records(options: argparse.Namespace, owners: Owners, token: str) -> FolderRecords:
    from companion.samples.demo import make_demo
    from companion.window.folder_records import FolderRecords

    async def fill(store: Store) -> None:
        if options.demo:
            await make_demo(store, today=SystemClock().now().date())

    return FolderRecords(owners, _folder(options), token, fill=fill)


def _serve(options: argparse.Namespace) -> None:
    from companion.web.door import Door
    from companion.web.port import usual_port
    from companion.web.server import serve
    from storage.folder.owner import Owners

    owners = Owners()

    async def window(page: ft.Page, channel: SocketChannel) -> None:
        records = _records(options, owners, channel.token)
        await run_page(page, await window_on_page(channel, records))

    def ready(door: Door) -> None:
        address = door.new_address(on_used=partial(used, door))
        print(say("The session companion is at {address}", address=address), flush=True)
        print(say("Its records are in {folder}", folder=str(_folder(options))), flush=True)
        if not options.no_open:
            webbrowser.open(door.new_address())

    def used(door: Door) -> None:
        address = door.new_address(on_used=partial(used, door))
        print(say("That address has been used. For another browser: {address}", address=address), flush=True)

    port = usual_port(_folder(options)) if options.port is None else options.port
    asyncio.run(serve(window, port=port, assets_dir=ASSETS, on_ready=ready))


def _open_window(options: argparse.Namespace) -> int:
    """Flet's desktop client over a socket of this computer; returns when its window is closed."""
    from storage.folder.owner import Owners

    os.environ.pop(SERVER_ONLY, None)  # or Flet would serve the application to a network instead
    no_display = is_linux_server()  # type: ignore[no-untyped-call]
    if no_display or importlib.util.find_spec("flet_desktop") is None:
        print(say(NO_DISPLAY) if no_display else say(NO_CLIENT), file=sys.stderr)
        return 2
    records = _records(options, Owners(), "window")
    ft.run(partial(device_main, records=records), assets_dir=str(ASSETS))
    return 0


def main(arguments: Sequence[str] | None = None) -> int:
    parser = argparse.ArgumentParser(prog="companion.app", description=say("Opens the session companion."))
    parser.add_argument(
        "--port", type=int, help=say("default: the usual one of the data folder; 0 picks a free one")
    )
    parser.add_argument("--data", metavar="FOLDER", help=say("where the records are saved"))
    parser.add_argument(
        "--demo", action="store_true", help=say("with invented weeks in a folder of their own")
    )
    parser.add_argument("--no-open", action="store_true", help=say("print the address and open nothing"))
    parser.add_argument(
        "--window",
        action="store_true",
        help=say("in a desktop window (see README)"),
    )
    options: Any = parser.parse_args(arguments)
    try:
        if options.window:
            return _open_window(options)
        _serve(options)
    except OSError as problem:
        print(
            say("The address cannot be used: {why}.", why=problem.strerror or f"{problem}"), file=sys.stderr
        )
        return 2
    except KeyboardInterrupt:
        return 0
    return 0


if __name__ == "__main__":
    sys.exit(main())
