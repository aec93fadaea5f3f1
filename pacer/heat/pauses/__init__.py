"""Between beads: what the part is and does, learned from bead to bead."""
