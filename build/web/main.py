"""Where the offline phone build starts: the same app as on the desk, in page mode."""

import flet as ft

from companion.app import page_main

ft.run(page_main)
