"""The page of the offline phone build: flet-web's client inside a page and scripts of our own.

Everything comes from the page's own origin. What the client would fetch from elsewhere is served from here or
replaced by a stub, and a Content-Security-Policy holds the page and its workers to that.
"""

import base64
import hashlib
import json
import re
import shutil
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

import flet_web

APP_NAME = "Session companion"
APP_DESCRIPTION = "Fits one timed strength session to your minutes and your kit, and runs it hands-free."
ARCHIVE = "app.tar"
SERVER_PAGE = "index.html"  # among our assets
SHARED = ("for-safari", "languages")
OWN_PAGES = ("index.html", "sw.js", "python-start.js")  # with placeholders to fill
OWN_SCRIPTS = ("window.js", "python.js", "python-worker.js", "python-memory.js", "starting.js")
ICONS = (  # of our assets: file, size, purpose
    ("icon.svg", "any", "any"),
    ("icon-192.png", "192x192", "any"),
    ("icon-512.png", "512x512", "any"),
    ("icon-maskable-512.png", "512x512", "maskable"),
)

# Nothing asks for these: other renderers, symbols, the classic Pyodide loader, tools for a command line,
# wheels that only an installer would load, a service worker that only removes itself, scripts for media, maps
# and formulas, icons that we do not draw, and the framework's own page and icons.
NOT_SERVED = (
    "**/*.symbols", "canvaskit/skwasm*", "canvaskit/wimp*", "canvaskit/experimental_webparagraph",
    "canvaskit/chromium", "main.dart.wasm", "main.dart.mjs", "flutter.js*", "flutter_service_worker.js",
    "icons", "favicon.png", "index.html", "python.js", "python-worker.js", "version.json",
    "pyodide/*.exe", "pyodide/*.bat", "pyodide/*.d.ts", "pyodide/pyodide.js",
    "pyodide/python", "pyodide/python_cli_entry.mjs", "pyodide/*.whl",
    "assets/NOTICES", "assets/fonts/MaterialIcons-Regular.otf", "assets/shaders/ink_sparkle.frag",
    "assets/packages/cupertino_icons", "assets/packages/flutter_map", "assets/packages/flutter_math_fork",
    "assets/packages/media_kit", "assets/packages/record_web",
)  # fmt: skip

_ANIMATION_CDN = "https://cdn.jsdelivr.net/npm/@rive-app/flutter-native-wasm@"
_POLICY = {
    "default-src": "'none'",
    "connect-src": "'self' data: blob:",
    "font-src": "'self' data:",
    "img-src": "'self' data: blob:",
    "media-src": "'self' data: blob:",
    "manifest-src": "'self'",
    "style-src": "'self' 'unsafe-inline'",  # the Flutter engine writes style elements
    "worker-src": "'self' blob:",
    "base-uri": "'self'",
    "form-action": "'none'",
}


class PageFault(Exception):
    """flet-web's folder is not as this build expects it."""


@dataclass(frozen=True, kw_only=True)
class Ground:
    """The page's colours until the application has drawn something, as #RRGGBB."""

    light: str
    dark: str
    light_ink: str
    dark_ink: str
    accent: str


def stage_web_folder(out: Path) -> None:
    """Copies flet-web's web folder to ``out``, which must not exist, without what this build never serves."""
    shutil.copytree(flet_web.get_package_web_dir(), out, copy_function=shutil.copyfile)
    for pattern in NOT_SERVED:
        found = sorted(out.glob(pattern))
        if not found:
            raise PageFault(f"the web client holds no {pattern}")
        for path in found:
            shutil.rmtree(path) if path.is_dir() else path.unlink()


def stage_assets(assets: Path, out: Path) -> None:
    """Copies our assets into the root of the page, where the client looks for them."""
    for source in sorted(assets.rglob("*")):
        name = source.relative_to(assets).as_posix()
        if source.is_dir() or name == SERVER_PAGE:
            continue
        target = out / name
        if target.exists():
            raise PageFault(f"{source.name} of our assets would replace a file of the web client")
        target.parent.mkdir(parents=True, exist_ok=True)
        shutil.copyfile(source, target)


def patch_client(out: Path, *, ours: Path) -> None:
    """Makes the client ask its own origin alone, and takes out the framework's service worker."""
    main = out / "main.dart.js"
    main.write_text(_local_animations(main.read_text(encoding="utf-8")), encoding="utf-8")
    bootstrap = out / "flutter_bootstrap.js"
    script = _replaced_block(
        bootstrap.read_text(encoding="utf-8"), r"\s*serviceWorkerSettings:\s*\{.*?\},", ""
    )
    variant = 'var flutterConfig = {\n    canvasKitVariant: "full",'  # every browser can run this one
    script = _replaced_block(script, r"var flutterConfig = \{", variant)
    bootstrap.write_text(script, encoding="utf-8")
    for folder in ("wasm", "wasm_compatibility"):
        (out / "rive" / folder).mkdir(parents=True)
        shutil.copyfile(ours / "rive_native.js", out / "rive" / folder / "rive_native.js")
    lock = out / "pyodide" / "pyodide-lock.json"  # names the runtime; we load none of its packages
    runtime = {**json.loads(lock.read_text(encoding="utf-8")), "packages": {}}
    lock.write_text(json.dumps(runtime), encoding="utf-8")
    fonts = [{"family": "Roboto", "fonts": [{"asset": "fonts/roboto.woff2"}]}]
    (out / "assets" / "FontManifest.json").write_text(json.dumps(fonts), encoding="utf-8")


def stage_page(out: Path, *, base_url: str, ours: Path, assets: Path, ground: Ground) -> None:
    """Writes the page, its scripts and its manifest. The page's policy lists every inline script."""
    values = {
        **vars(ground),
        **shared_parts((assets / SERVER_PAGE).read_text(encoding="utf-8")),
        "name": APP_NAME,
        "description": APP_DESCRIPTION,
        "base": base_url,
        "archive": ARCHIVE,
    }
    pages = {name: filled((ours / name).read_text(encoding="utf-8"), values) for name in OWN_PAGES}
    policy = policy_for(pages["index.html"])
    for name, page in pages.items():
        (out / name).write_text(page.replace("@policy@", policy), encoding="utf-8")
    for name in OWN_SCRIPTS:
        shutil.copyfile(ours / name, out / name)
    _write_manifest(out, ground)


def shared_parts(page: str) -> dict[str, str]:
    """What both pages have inline, taken from the page of the local server. Raises PageFault."""
    found = {name: re.search(rf'<(\w+) id="{name}">(.*?)</\1>', page, flags=re.DOTALL) for name in SHARED}
    missing = [name for name, part in found.items() if part is None]
    if missing:
        raise PageFault(f"the page of the local server lacks {', '.join(missing)}")
    return {name.replace("-", "_"): part[2] for name, part in found.items() if part}


def _write_manifest(out: Path, ground: Ground) -> None:
    """Writes name, colours and icons for the phone's home screen."""
    missing = [name for name, _, _ in ICONS if not (out / name).is_file()]
    if missing:
        raise PageFault(f"the app's assets lack {', '.join(missing)}")
    manifest = {
        "id": ".",
        "name": APP_NAME,
        "short_name": APP_NAME,
        "description": APP_DESCRIPTION,
        "start_url": ".",
        "scope": ".",
        "display": "standalone",
        "background_color": ground.light,
        "theme_color": ground.light,
        "icons": [{"src": name, "sizes": sizes, "purpose": purpose} for name, sizes, purpose in ICONS],
    }
    (out / "manifest.json").write_text(json.dumps(manifest, indent=2), encoding="utf-8")


def policy_for(page: str) -> str:
    """A policy that allows the page's own origin and exactly the inline scripts in the page."""
    inline = re.findall(r"<script>(.*?)</script>", page, flags=re.DOTALL)
    digests = (base64.b64encode(hashlib.sha256(script.encode()).digest()).decode() for script in inline)
    scripts = " ".join(f"'sha256-{digest}'" for digest in digests)
    rules = {**_POLICY, "script-src": f"'self' 'wasm-unsafe-eval' {scripts}"}
    return "; ".join(f"{rule} {sources}" for rule, sources in sorted(rules.items()))


def filled(template: str, values: Mapping[str, str]) -> str:
    """The template with its placeholders filled, except for the policy, which depends on the result."""
    return re.sub(r"@([a-z_]+)@", lambda match: values.get(match[1], match[0]), template)


def _local_animations(script: str) -> str:
    """Points the client to our stub for the one script that it takes from a CDN: animations we do not use."""
    return _replaced_block(script, re.escape(_ANIMATION_CDN) + r"[0-9.]+/", "rive/")


def _replaced_block(text: str, pattern: str, new: str) -> str:
    text, count = re.subn(pattern, lambda _: new, text, flags=re.DOTALL)
    if count != 1:
        raise PageFault(f"the web client holds {pattern!r} {count} times, not once")
    return text
