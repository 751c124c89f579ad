"""braid-bench: a companion at the braiding stand."""
