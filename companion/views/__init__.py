"""The screens: one file for each, on the shared tokens (theme.py) and the small shared controls (parts.py).

A view function takes data and handlers as arguments and returns Flet controls; it imports no storage and no
service.
"""
