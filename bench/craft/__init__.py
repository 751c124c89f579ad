"""What braiding is: structures, the stand, patterns, plans, beads, lattice, thread, weights. Pure."""
