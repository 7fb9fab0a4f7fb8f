"""Steps that bring a database of any earlier version to the present tables."""
