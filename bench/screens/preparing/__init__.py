"""Loading, setting up, weighing, measuring."""
