"""What braiding is: structures, the stand, patterns, plans, beads, lattice, weights. Pure."""
