"""The light as it is now: what it shows, where, and how it is seen."""
