"""The files of the client that are served in place of the packaged ones, so that it asks nobody but this
server.

The packaged client fetches an animation runtime from a content network when it starts. The application draws
no such animation: the client is pointed to this server instead, and told that there is none.
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
# A refusal is taken as "there is none"; an answer of null is called upon and fails.
_NO_RUNTIME = 'globalThis.RiveNative = () => Promise.reject(new Error("no animation runtime"));\n'


def stage_client(folder: Path) -> None:
    """Writes the changed client and the answer to its question into `folder`."""
    packaged = Path(get_package_web_dir()) / CLIENT
    client = folder / CLIENT
    client.write_bytes(_ANIMATION_NETWORK.sub(b"rive/", packaged.read_bytes()))
    shutil.copystat(packaged, client)  # the same file to the browser's memory at the next start
    for name in RUNTIMES:
        runtime = folder / name
        runtime.parent.mkdir(parents=True, exist_ok=True)
        runtime.write_text(_NO_RUNTIME, encoding="utf-8")


def client_routes(folder: Path) -> list[Route]:
    """The routes of the staged files; `folder` is filled before the first request."""
    files = StaticFiles(directory=folder, check_dir=False)

    def served(name: str) -> Route:
        async def answer(request: Request) -> Response:
            return await files.get_response(name, request.scope)

        return Route(f"/{name}", answer)

    return [served(name) for name in (CLIENT, *RUNTIMES)]
