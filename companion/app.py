"""The application: puts services, storage and screens together, and shows what nobody expected.

python -m companion.app [--port N] [--data FOLDER] [--demo] [--no-open] [--window]
"""

from __future__ import annotations

import argparse
import asyncio
import logging
import sys
import webbrowser
from collections.abc import Sequence
from functools import partial
from pathlib import Path
from typing import Any

import flet as ft

from companion.actions import Actions
from companion.samples import sample_plans
from companion.services.clock import SystemClock
from companion.services.cues import PageCuePlayer
from companion.services.page_channel import PageChannel, SocketChannel
from companion.state import Screen, State
from companion.views.cautions import cautions_screen
from companion.views.frame import page_frame, screen
from companion.views.hurt import hurt_screen
from companion.views.log import log_screen
from companion.views.parts import notice
from companion.views.running import running_screen
from companion.views.setup import setup_screen
from companion.views.theme import apply_theme
from companion.views.week import week_screen
from storage.database import NativeStore
from storage.folder import default_folder
from storage.memory import MemoryStore
from storage.owner import Owners
from storage.problem import StorageProblem
from storage.protocol import Store

ASSETS = Path(__file__).parent / "assets"
WATCH_S = 0.05
READ_ONLY = "Another window or program is using these records. This one shows them and changes nothing."


@ft.component
def root(state: State, do: Actions) -> list[ft.View]:
    """The one screen that is on; drawn again after every action."""
    _, draw = ft.use_state(0)
    state.on_change = lambda: draw(lambda drawn: drawn + 1)
    return [screen("/", _screen(state, do))]


def _screen(state: State, do: Actions) -> ft.Control:
    match state.screen:
        case Screen.cautions:
            return cautions_screen(do.accept_cautions)  # type: ignore[no-any-return]
        case Screen.running:
            return running_screen(state, do)  # type: ignore[no-any-return]
        case Screen.hurt:
            return hurt_screen(state, do)  # type: ignore[no-any-return]
        case Screen.log:
            return log_screen(state, do)  # type: ignore[no-any-return]
        case Screen.week:
            return week_screen(state, do)  # type: ignore[no-any-return]
        case _:
            return setup_screen(state, do)  # type: ignore[no-any-return]


async def run_page(page: ft.Page, channel: PageChannel, store: Store, *, read_only: str = "") -> None:
    """One window: its cues, its state, its screens, and the watch over its clock."""
    apply_theme(page)
    page.title = "Session companion"
    cues = PageCuePlayer(channel, SystemClock())
    hello = await cues.start()
    state = State(read_only=read_only)
    do = Actions(state, store=store, clock=SystemClock(), cues=cues, zone=hello.zone if hello else "UTC")
    try:
        await do.open(sample_plans)
    except StorageProblem as problem:
        page.views[:] = [
            screen("/", page_frame([notice("danger", str(problem))], title="The records cannot be read"))
        ]
        page.update()
        return
    page.on_keyboard_event = partial(_keys, state, do)
    page.render_views(root, state, do)
    page.run_task(_watch, page, state, do)


async def _watch(page: ft.Page, state: State, do: Actions) -> None:
    """Enters the segments that the clock begins, and presents what nobody expected of it."""
    while True:
        await asyncio.sleep(WATCH_S)
        try:
            await do.watch()
        except Exception as problem:
            logging.exception("watching the session")
            state.problem = str(problem) or type(problem).__name__
            page.show_dialog(ft.SnackBar(ft.Text(state.problem)))
            return


async def _keys(state: State, do: Actions, event: ft.KeyboardEvent) -> None:
    """Space pauses and goes on, the arrows skip and step back; only while a session runs."""
    live = state.live
    if state.screen is not Screen.running or live is None:
        return
    paused = live.state.status == "paused"
    if event.key == " ":
        await (do.resume() if paused else do.pause())
    elif event.key == "Arrow Right" and not paused:
        await do.skip()
    elif event.key == "Arrow Left" and not paused:
        await do.back()


async def page_main(page: ft.Page) -> None:
    """The entry of the offline build: one page, its own Python, nothing kept after it is closed."""
    from companion.services.page_worker import open_page_channel

    await run_page(page, open_page_channel(), MemoryStore())


def _serve(options: argparse.Namespace) -> None:
    from companion.demo import demo_folder, make_demo
    from companion.web import serve

    usual = demo_folder() if options.demo else default_folder()
    folder, owners = Path(options.data) if options.data else usual, Owners()

    async def window(page: ft.Page, channel: SocketChannel) -> None:
        ownership = owners.acquire(folder, channel.token, on_stopped=lambda: None)
        store = NativeStore(folder, may_write=ownership.holds)
        page.on_close = lambda _: owners.release(folder, ownership)
        if options.demo and ownership.holds():
            await make_demo(store, today=SystemClock().now().date())
        await run_page(page, channel, store, read_only="" if ownership.holds() else READ_ONLY)

    def ready(address: str) -> None:
        print(f"The session companion is at {address}", flush=True)
        print(f"Its records are in {folder}", flush=True)
        if not options.no_open:
            webbrowser.open(address)

    asyncio.run(serve(window, port=options.port, assets_dir=ASSETS, on_ready=ready))


def main(arguments: Sequence[str] | None = None) -> int:
    parser = argparse.ArgumentParser(prog="companion.app", description="Opens the session companion.")
    parser.add_argument("--port", type=int, default=0, help="0 takes a free one")
    parser.add_argument("--data", metavar="FOLDER", help="where the records are kept")
    parser.add_argument("--demo", action="store_true", help="with invented weeks, in a folder of their own")
    parser.add_argument("--no-open", action="store_true", help="print the address and open nothing")
    parser.add_argument("--window", action="store_true", help="in Flet's desktop client")
    options: Any = parser.parse_args(arguments)
    try:
        if options.window:
            ft.run(page_main, assets_dir=str(ASSETS))
        else:
            _serve(options)
    except OSError as problem:
        print(f"The address cannot be used: {problem.strerror or problem}.", file=sys.stderr)
        return 2
    except KeyboardInterrupt:
        return 0
    return 0


if __name__ == "__main__":
    sys.exit(main())
