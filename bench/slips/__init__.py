"""What may have gone wrong: suspects, looks, mends. Pure."""
