"""The guide's page on the job file, made from the table of keys: it can't go stale."""

from __future__ import annotations

from pacer.job.file.keys import Key, keys, sections

_OPENING = """\
# The job file

TOML; every quantity is a text with its unit, such as `"260 degC"`, `"500 degF"`, `"25 mm"` or `"1 in"`.
A temperature difference is another kind: `"5 delta_degC"`.
`job.method`, `part.metal` and `part.mass` (or `part.size` with `part.wall`) are required; the rest has defaults, shown with their origin by `pacer plan`.
"""


def job_file_guide() -> str:
    """Return the page as Markdown: each key, what it means, its default and why."""
    lines = [_OPENING]
    for section in sections():
        lines.append(f"## [{section}]\n")
        lines.extend(_line(key) for key in keys().values() if key.section == section)
        lines.append("")
    return "\n".join(lines)


def _line(key: Key) -> str:
    parts = [f"- **{key.word}**: {key.doc}"]
    if key.choices:
        parts.append("One of: " + ", ".join(f"`{choice}`" for choice in key.choices) + ".")
    if key.also:
        parts.append(
            "Also: " + ", ".join(f"`{it}` for `{of}`" for it, of in key.also.items()) + "."
        )
    if key.range:
        parts.append(f"From {key.range[0]} to {key.range[1]}.")
    default = key.default if key.default is not None else key.default_words
    if key.required:
        parts.append("Required.")
    elif default:
        why = f" ({key.why})" if key.why else ""
        parts.append(f"Default: {default}{why}.")
    if key.fact:
        parts.append("No default; the pacing does not go by it.")
    if key.hot_only:
        parts.append("Hot method only.")
    return " ".join(parts)
