"""Picture pixels to table millimetres and back: the optics of a ceiling projector over a bench.

Knows numpy and scipy only; knows nothing of leather, files or the web.
"""
