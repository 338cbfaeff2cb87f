"""Files that replace those of the packaged client, so that it sends requests to this server alone.

When it starts, the packaged client fetches an animation runtime from a content network. The application has
no such animations, so the client asks this server instead and hears that there is no runtime.
"""

import re
import shutil
from pathlib import Path

from flet_web import get_package_web_dir
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route
from starlette.staticfiles import StaticFiles

CLIENT = "main.dart.js"
RUNTIMES = ("rive/wasm/rive_native.js", "rive/wasm_compatibility/rive_native.js")
_ANIMATION_NETWORK = re.compile(rb"https://cdn\.jsdelivr\.net/npm/@rive-app/flutter-native-wasm@[0-9.]+/")
# The client takes a rejection to mean that there is no runtime; it would call null and fail.
_NO_RUNTIME = 'globalThis.RiveNative = () => Promise.reject(new Error("no animation runtime"));\n'


def stage_client(folder: Path) -> None:
    """Writes the changed client, and the stand-ins for its runtime, into ``folder``."""
    packaged = Path(get_package_web_dir()) / CLIENT
    client = folder / CLIENT
    client.write_bytes(_ANIMATION_NETWORK.sub(b"rive/", packaged.read_bytes()))
    shutil.copystat(packaged, client)  # so that the browser uses its cached copy at the next start
    for name in RUNTIMES:
        runtime = folder / name
        runtime.parent.mkdir(parents=True, exist_ok=True)
        runtime.write_text(_NO_RUNTIME, encoding="utf-8")


def client_routes(folder: Path) -> list[Route]:
    """The routes of the staged files. ``folder`` may be filled later, but before the first request."""
    files = StaticFiles(directory=folder, check_dir=False)

    def served(name: str) -> Route:
        async def answer(request: Request) -> Response:
            return await files.get_response(name, request.scope)

        return Route(f"/{name}", answer)

    return [served(name) for name in (CLIENT, *RUNTIMES)]
