"""What leaves the server: scenes, strokes, pictures and files."""
