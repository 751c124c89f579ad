"""The talk about a slip."""
