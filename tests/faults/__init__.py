"""Faults: the real program in a pseudo-terminal, killed and starved."""
