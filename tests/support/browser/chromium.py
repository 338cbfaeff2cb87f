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


def chromium_path() -> str:
    found = os.environ.get("CHROMIUM") or shutil.which("chromium") or shutil.which("chromium-browser")
    if found is None:
        pytest.fail(
            "no Chromium: install the chromium package, or name one in the environment variable CHROMIUM"
        )
    return found
