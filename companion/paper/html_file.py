"""A file of HTML that is whole by itself: no script, no request to anywhere, and a policy that says so."""

from __future__ import annotations

from string import Template

_FILE = Template(
    """<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="$policy">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="referrer" content="no-referrer">
<title>$title</title>
<style>
$style
</style>
</head>
<body>
$body
</body>
</html>
"""
)


def html_file(*, policy: str, title: str, style: str, body: str) -> str:
    """The whole file. ``policy`` is its Content-Security-Policy; ``title`` and ``body`` are escaped
    already."""
    return _FILE.substitute(policy=policy, title=title, style=style, body=body)
