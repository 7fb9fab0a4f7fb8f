"""How fast it is: printed, not asserted."""
