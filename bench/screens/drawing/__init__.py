"""The drawing board: a pattern made by looking."""
