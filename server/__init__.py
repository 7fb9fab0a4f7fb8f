"""The Hidelight workshop server."""
