"""What the plan draws, as strokes and labels: no SVG, no terminal."""
