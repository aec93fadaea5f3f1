"""What hangs on a serial plug's own lines: pedal, lamp."""
