"""What the README tells of the cracked repair is what the review says of it today."""

from __future__ import annotations

from pathlib import Path

from commands import here

ROOT = Path(__file__).parents[1]


def test_the_story_of_the_readme_is_that_of_the_review() -> None:
    """Line by line, as the review ends."""
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    story = readme.split("Its review ends with\n\n```\n")[1].split("```")[0]
    told = here("review", ROOT / "recordings/ear-cracked.jsonl").fine().out
    assert len(story.splitlines()) == 5
    assert story in told
