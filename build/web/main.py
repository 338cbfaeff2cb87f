"""The start of the offline phone build: the same application, in a page with its own Python."""

import flet as ft

from companion.app import page_main

ft.run(page_main)
