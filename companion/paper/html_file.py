"""An HTML file that needs nothing else: no script, no request, and a policy that forbids both."""

from __future__ import annotations

from string import Template

from companion.words.saying import words_here

_FILE = Template(
    """<!doctype html>
<html lang="$language" dir="$direction">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" \
content="default-src 'none'; style-src 'unsafe-inline'; img-src $images">
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


def html_file(*, title: str, style: str, body: str, images: str = "'none'") -> str:
    """The text of the file, in the language that is spoken. Its texts must be escaped; its policy permits
    ``images`` from there."""
    language = words_here().language
    return _FILE.substitute(
        language=language.code,
        direction="rtl" if language.locale.is_rtl else "ltr",
        images=images,
        title=title,
        style=style,
        body=body,
    )
