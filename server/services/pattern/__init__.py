"""Things to be carried and their patterns: drafted, brought along, kept, compared."""
