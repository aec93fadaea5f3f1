"""A cue to the ear: the terminal bell now; tones, speech and lamp use the same sink. An edge."""
