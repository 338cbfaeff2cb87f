"""Where a package for a phone or a desk starts: the same app, in Flet's client."""

import flet as ft

from companion.app import packaged_main

ft.run(packaged_main)
