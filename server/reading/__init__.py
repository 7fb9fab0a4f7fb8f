"""Bring your own pattern: SVG, DXF and PDF files of other programs, read, proposed upon, and made into patterns."""
