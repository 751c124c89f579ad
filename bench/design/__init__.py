"""The drawing board's sheet of beads: its operations, motifs, shapes and colours. Pure."""
