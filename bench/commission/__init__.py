"""The shop: lots, progress, needs, buying, closing."""
