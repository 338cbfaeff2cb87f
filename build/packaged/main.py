"""The start of a package for a phone or a desktop: the same application, in Flet's client."""

import flet as ft

from companion.app import packaged_main

ft.run(packaged_main)
