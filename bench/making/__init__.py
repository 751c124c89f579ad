"""One piece: worked pattern, preparation, loading, setting up, the braid in hand, its mends."""
