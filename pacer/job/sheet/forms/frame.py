"""The frame of every page of HTML that pacer writes: self-contained and well-formed as XML.

No script, no web font, no address: a page opens and prints in a cellar, in ten years.
"""

from __future__ import annotations

from html import escape

DOCTYPE = "<!DOCTYPE html>"
"Every page of HTML begins with it."


def mark(command: str) -> str:
    """Return what in a page's head says which command of ours wrote it.

    By it the page is known again (HTML standard, 4.2.5.1).

    >>> mark("plan")
    '<meta name="generator" content="pacer plan"/>'
    """
    return f'<meta name="generator" content="pacer {escape(command)}"/>'


def document(name: str, command: str, style: str, body: str) -> str:
    """Return a whole page; `name` is text, `style` and `body` are ours and stand as they are."""
    return (
        f'{DOCTYPE}\n<html xmlns="http://www.w3.org/1999/xhtml" lang="en">\n<head>'
        f'<meta charset="utf-8"/>{mark(command)}<title>{escape(name)}</title>'
        f'<meta name="viewport" content="width=device-width"/><style>{style}</style></head>\n'
        f"<body>\n{body}\n</body>\n</html>\n"
    )
