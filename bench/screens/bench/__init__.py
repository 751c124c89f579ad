"""The bench, hands moving."""
