"""The local web server: the client, its socket, and the socket of the cues, for this computer only.

The routes are put together here because Flet's own application would add pages of documentation, uploads,
sign-in and a header that opens everything to every site.
"""

from __future__ import annotations

import asyncio
import contextlib
import socket
from collections.abc import AsyncIterator, Awaitable, Callable
from contextvars import ContextVar
from pathlib import Path

import flet as ft
import uvicorn
from flet_web.fastapi import FletApp, FletStaticFiles, app_manager
from starlette.applications import Starlette
from starlette.middleware import Middleware
from starlette.routing import Mount, WebSocketRoute
from starlette.websockets import WebSocket, WebSocketDisconnect

from companion.services.page_channel import PageHub, SocketChannel, is_page_token
from companion.services.page_messages import parse_from_page
from companion.web.client import client_routes, stage_client
from companion.web.door import Door, DoorKeeper
from companion.web.guard import LOCAL_NAMES, LocalOnly
from companion.web.staging import StagedFolder
from companion.words.saying import say
from storage.exchange.backup import LARGEST_BACKUP_BYTES

PageMain = Callable[[ft.Page, SocketChannel], Awaitable[None]]

CLOSE_BAD_MESSAGE = 1008
SHUTDOWN_LIMIT_S = 2
LARGEST_MESSAGE_BYTES = LARGEST_BACKUP_BYTES + 1_000_000
"""A picked file arrives in one message, and a longer message would end the connection. Whatever may be picked
must arrive, so that its reader can say that it is too large."""

# The token of the page whose socket is being served. Each session starts in the context of its socket.
_page_token: ContextVar[str] = ContextVar("page_token")


def build_app(
    page_main: PageMain, *, port: int, door: Door, assets_dir: Path, hub: PageHub | None = None
) -> Starlette:
    """The ASGI application for a server on ``port``, for whoever came in by ``door``.

    Calls ``page_main`` for each new session, with Flet's page and the channel to the script of that page. A
    dropped socket, or a reload within an hour, continues its session without another call.
    """
    pages = PageHub() if hub is None else hub

    async def session_main(page: ft.Page) -> None:
        await page_main(page, pages.open(_page_token.get()))

    staged = StagedFolder()

    @contextlib.asynccontextmanager
    async def lifespan(_: Starlette) -> AsyncIterator[None]:
        stage_client(staged.path)
        await app_manager.start()
        yield
        await app_manager.shutdown()
        staged.cleanup()

    return Starlette(
        routes=[
            *client_routes(staged.path),
            WebSocketRoute("/ws", _client_socket(session_main)),
            WebSocketRoute("/cues", _cue_socket(pages)),
            Mount("/", _client_files(assets_dir)),
        ],
        middleware=[Middleware(LocalOnly, port=port), Middleware(DoorKeeper, door=door)],
        lifespan=lifespan,
    )


def _client_files(assets_dir: Path) -> FletStaticFiles:
    return FletStaticFiles(
        assets_dir=str(assets_dir),
        web_renderer=ft.WebRenderer.CANVAS_KIT,
        route_url_strategy=ft.RouteUrlStrategy.PATH,
        no_cdn=True,
        websocket_endpoint_path="ws",
    )


def _client_socket(
    session_main: Callable[[ft.Page], Awaitable[None]],
) -> Callable[[WebSocket], Awaitable[None]]:
    async def serve_client(websocket: WebSocket) -> None:
        token = websocket.query_params.get("page", "")
        if not is_page_token(token):
            await websocket.close(CLOSE_BAD_MESSAGE)
            return
        _page_token.set(token)
        client = FletApp(
            loop=asyncio.get_running_loop(),
            executor=app_manager.executor,
            main=session_main,
            before_main=None,
        )
        await client.handle(websocket)

    return serve_client


def _cue_socket(pages: PageHub) -> Callable[[WebSocket], Awaitable[None]]:
    async def serve_cues(websocket: WebSocket) -> None:
        token = websocket.query_params.get("page", "")
        if not is_page_token(token):
            await websocket.close(CLOSE_BAD_MESSAGE)
            return
        await websocket.accept()
        pages.connect(token, websocket)
        try:
            await _receive_all(websocket, token, pages)
        except WebSocketDisconnect:
            pass
        finally:
            pages.disconnect(token, websocket)

    return serve_cues


async def _receive_all(websocket: WebSocket, token: str, pages: PageHub) -> None:
    """Passes on what the page says until it leaves, or says something that our script never says."""
    while True:
        event = await websocket.receive()
        if event["type"] == "websocket.disconnect":
            return
        message = parse_from_page(event.get("text") or "")
        if message is None:
            await websocket.close(CLOSE_BAD_MESSAGE)
            return
        await pages.receive(token, message)


class _Server(uvicorn.Server):
    """A server that tells when it has started to answer."""

    def __init__(self, config: uvicorn.Config, on_started: Callable[[], None]) -> None:
        super().__init__(config)
        self._on_started = on_started

    async def startup(self, sockets: list[socket.socket] | None = None) -> None:
        await super().startup(sockets)
        if self.started:
            self._on_started()


async def serve(
    page_main: PageMain,
    *,
    host: str = "127.0.0.1",
    port: int,
    assets_dir: Path,
    on_ready: Callable[[Door], None],
) -> None:
    """Serves until the process is asked to end or the task is cancelled, then closes all sockets.

    Calls ``on_ready`` once the server answers; the door gives out its addresses. Port 0 takes a free port.
    Raises ValueError for a host that is not this computer, OSError where the port is taken.
    """
    if host not in LOCAL_NAMES:
        raise ValueError(say("{host} is not this computer: {names}", host=host, names=", ".join(LOCAL_NAMES)))
    with socket.create_server(("127.0.0.1", port)) as listener:
        real_port = listener.getsockname()[1]
        door = Door(f"http://{host}:{real_port}", port=real_port)
        config = uvicorn.Config(
            build_app(page_main, port=real_port, door=door, assets_dir=assets_dir),
            ws="websockets-sansio",
            ws_max_size=LARGEST_MESSAGE_BYTES,
            log_level="warning",
            access_log=False,
            server_header=False,
            timeout_graceful_shutdown=SHUTDOWN_LIMIT_S,
        )
        server = _Server(config, lambda: on_ready(door))
        serving = asyncio.ensure_future(server.serve(sockets=[listener]))
        try:
            await asyncio.shield(serving)
        except asyncio.CancelledError:
            server.should_exit = True
            await serving
            raise
