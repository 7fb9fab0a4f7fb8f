"""The door for phones on the workshop's own network: a server apart, with next to nothing in it."""
