"""Chromium as the tests and benches start it."""

import os
import shutil

import pytest

CHROMIUM_ARGUMENTS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--enable-unsafe-swiftshader",
    "--disable-features=AutofillServerCommunication",  # without it the browser asks its maker about each form
]
WITHOUT_WEBGL = [*CHROMIUM_ARGUMENTS, "--disable-3d-apis"]
"""The client then draws without WebGL, as on a device that has none. Where no graphics card is, WebGL is the
processor's work too, and takes it a quarter more."""


def light_chromium_path() -> str:
    """Chromium's own shell for pages without a screen, else Chromium itself.

    Both draw and run a page by the same code. The shell has no toolbar, settings or sign-in behind the page;
    these take a third of the processor's work of opening one.
    """
    shell = None if "CHROMIUM" in os.environ else shutil.which("chromium-headless-shell")
    return shell or chromium_path()


def chromium_path() -> str:
    found = os.environ.get("CHROMIUM") or shutil.which("chromium") or shutil.which("chromium-browser")
    if found is None:
        pytest.fail(
            "no Chromium: install the chromium package, or name one in the environment variable CHROMIUM"
        )
    return found
