"""The list, the times and the commissions."""
