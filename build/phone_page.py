"""The page of the offline phone build: flet-web's own web folder, copied and turned into ours.

Everything is fetched from the page's own origin: what the client would take from elsewhere is served from
here or replaced by a stub, and a Content-Security-Policy holds it to that.
"""

import base64
import hashlib
import json
import re
import shutil
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path

import flet_web
from flet.controls.types import RouteUrlStrategy, WebRenderer

APP_NAME = "Session companion"
APP_DESCRIPTION = "Fits one timed strength session to your minutes and your kit, and runs it hands-free."
ARCHIVE = "app.tar.gz"
CUE_SCRIPT = "cues.js"  # the app's own, out of its assets
START_SCRIPT = "starting.js"
TOUCH_ICON = "icon-192.png"
ICONS = (  # of the app's assets: file, size, purpose
    ("icon.svg", "any", "any"),
    (TOUCH_ICON, "192x192", "any"),
    ("icon-512.png", "512x512", "any"),
    ("icon-maskable-512.png", "512x512", "maskable"),
)

# Nothing of the page asks for these: other renderers, symbols, the classic Pyodide loader, tools for a
# command line, wheels that only an installer would load, a service worker that only removes itself, and the
# framework's own marks.
NOT_SERVED = (
    "**/*.symbols", "canvaskit/skwasm*", "canvaskit/wimp*", "canvaskit/experimental_webparagraph",
    "main.dart.wasm", "main.dart.mjs", "flutter.js*", "flutter_service_worker.js",
    "icons", "favicon.png", "pyodide/*.exe", "pyodide/*.bat", "pyodide/*.d.ts", "pyodide/pyodide.js",
    "pyodide/python", "pyodide/python_cli_entry.mjs", "pyodide/*.whl",
)  # fmt: skip

_ANIMATION_CDN = "https://cdn.jsdelivr.net/npm/@rive-app/flutter-native-wasm@"
_POLICY = {
    "default-src": "'none'",
    "connect-src": "'self' data: blob:",
    "font-src": "'self' data:",
    "img-src": "'self' data: blob:",
    "media-src": "'self' data: blob:",
    "manifest-src": "'self'",
    "style-src": "'self' 'unsafe-inline'",  # the Flutter engine writes its own style elements
    "worker-src": "'self' blob:",
    "base-uri": "'self'",
    "form-action": "'none'",
}


class PageFault(Exception):
    """flet-web's folder is not what this build was written for."""


@dataclass(frozen=True, kw_only=True)
class Ground:
    """Colours of the page before the app has drawn anything, as #RRGGBB."""

    light: str
    dark: str
    light_ink: str
    dark_ink: str
    accent: str


def stage_web_folder(out: Path) -> None:
    """Copy flet-web's web folder to out (which must not exist) without what this build never serves."""
    shutil.copytree(flet_web.get_package_web_dir(), out, copy_function=shutil.copyfile)
    for pattern in NOT_SERVED:
        for path in sorted(out.glob(pattern)):
            shutil.rmtree(path) if path.is_dir() else path.unlink()


def stage_assets(assets: Path, out: Path) -> None:
    """Copy the app's assets into the root of the page, where the client looks for them."""
    for source in sorted(assets.rglob("*")):
        name = source.relative_to(assets).as_posix()
        if source.is_dir() or name == "index.html":  # that page belongs to server mode
            continue
        target = out / name
        if target.exists():
            raise PageFault(f"{source.name} of our assets would replace a file of the web client")
        target.parent.mkdir(parents=True, exist_ok=True)
        shutil.copyfile(source, target)


def patch_client(out: Path, *, ours: Path) -> None:
    """Make the client ask only its own origin: no foreign scripts, no service worker of the framework's."""
    main = out / "main.dart.js"
    main.write_text(_local_animations(main.read_text(encoding="utf-8")), encoding="utf-8")
    bootstrap = out / "flutter_bootstrap.js"
    bootstrap.write_text(_without_service_worker(bootstrap.read_text(encoding="utf-8")), encoding="utf-8")
    for folder in ("wasm", "wasm_compatibility"):
        (out / "rive" / folder).mkdir(parents=True)
        shutil.copyfile(ours / "rive_native.js", out / "rive" / folder / "rive_native.js")
    flet_web.patch_font_manifest_json(str(out / "assets" / "FontManifest.json"))


def patch_page(out: Path, *, base_url: str, ours: Path, ground: Ground) -> None:
    """Turn index.html and manifest.json into ours; the policy comes last: it carries the scripts' digests."""
    index = out / "index.html"
    flet_web.patch_index_html(
        str(index),
        base_url,
        app_name=APP_NAME,
        app_description=APP_DESCRIPTION,
        pyodide=True,
        pyodide_script_path="main.py",
        pyodide_version=pyodide_version(out),
        app_package_url=ARCHIVE,
        web_renderer=WebRenderer.CANVAS_KIT,
        route_url_strategy=RouteUrlStrategy.HASH,
        no_cdn=True,
    )
    _patch_manifest(out, ground)
    shutil.copyfile(ours / START_SCRIPT, out / START_SCRIPT)
    screen = _filled((ours / "starting.html").read_text(encoding="utf-8"), ground)
    scripts = [name for name in ("python.js", START_SCRIPT, CUE_SCRIPT) if (out / name).exists()]
    page = _own_page(index.read_text(encoding="utf-8"), screen=screen, scripts=scripts, ground=ground)
    index.write_text(with_policy(page), encoding="utf-8")


def _patch_manifest(out: Path, ground: Ground) -> None:
    """Name, colours and icons of the app on a phone's home screen."""
    missing = [name for name, _, _ in ICONS if not (out / name).is_file()]
    if missing:
        raise PageFault(f"the app's assets lack {', '.join(missing)}")
    path = out / "manifest.json"
    flet_web.patch_manifest_json(
        str(path),
        app_name=APP_NAME,
        app_description=APP_DESCRIPTION,
        background_color=ground.light,
        theme_color=ground.accent,
    )
    manifest = json.loads(path.read_text(encoding="utf-8"))
    manifest["icons"] = [{"src": name, "sizes": sizes, "purpose": purpose} for name, sizes, purpose in ICONS]
    path.write_text(json.dumps(manifest, indent=2), encoding="utf-8")


def pyodide_version(out: Path) -> str:
    """The version of the Pyodide that flet-web ships."""
    return str(json.loads((out / "pyodide" / "package.json").read_text(encoding="utf-8"))["version"])


def with_policy(page: str) -> str:
    """Return the page with a policy that admits its own origin and exactly the inline scripts it has now."""
    inline = re.findall(r"<script>(.*?)</script>", page, flags=re.DOTALL)
    digests = (base64.b64encode(hashlib.sha256(script.encode()).digest()).decode() for script in inline)
    scripts = " ".join(f"'sha256-{digest}'" for digest in digests)
    rules = {**_POLICY, "script-src": f"'self' 'wasm-unsafe-eval' {scripts}"}
    content = "; ".join(f"{rule} {sources}" for rule, sources in sorted(rules.items()))
    meta = f'<meta http-equiv="Content-Security-Policy" content="{content}">'
    return _replaced(page, "<head>", f"<head>\n  {meta}")


def _own_page(page: str, *, screen: str, scripts: Iterable[str], ground: Ground) -> str:
    page = _replaced(page, "<html>", '<html lang="en">')
    page = _replaced(page, '"pyodide/pyodide.mjs"', '"./pyodide/pyodide.mjs"')  # an import needs the dot
    page = _replaced(page, 'href="icons/apple-touch-icon-192.png"', f'href="{TOUCH_ICON}"')
    page = _replaced(page, 'type="image/png" href="favicon.png"', 'type="image/svg+xml" href="icon.svg"')
    tags = "\n  ".join(f'<script src="{name}"></script>' for name in scripts)
    page = _replaced(page, '<script src="python.js"></script>', tags)
    colours = (("light", ground.light), ("dark", ground.dark))
    metas = "".join(
        f'  <meta name="theme-color" media="(prefers-color-scheme: {mode})" content="{colour}">\n'
        for mode, colour in colours
    )
    page = _replaced(page, "</head>", f"{metas}</head>")
    return _replaced_block(page, r'<div id="loading".*?</div>\n', screen)


def _filled(template: str, ground: Ground) -> str:
    values: Mapping[str, str] = {**vars(ground), "name": APP_NAME}
    return re.sub(r"@([a-z_]+)@", lambda match: values[match[1]], template)


def _local_animations(script: str) -> str:
    """Point the one script that the client takes from a CDN (animations we do not use) at our stub."""
    return _replaced_block(script, re.escape(_ANIMATION_CDN) + r"[0-9.]+/", "rive/")


def _without_service_worker(script: str) -> str:
    return _replaced_block(script, r"\s*serviceWorkerSettings:\s*\{.*?\},", "")


def _replaced_block(text: str, pattern: str, new: str) -> str:
    text, count = re.subn(pattern, lambda _: new, text, flags=re.DOTALL)
    if count != 1:
        raise PageFault(f"the web client holds {pattern!r} {count} times, not once")
    return text


def _replaced(page: str, old: str, new: str) -> str:
    if page.count(old) != 1:
        raise PageFault(f"index.html holds {old!r} {page.count(old)} times, not once")
    return page.replace(old, new)
