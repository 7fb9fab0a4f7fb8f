"""Guided work: jobs, step by step and blow by blow, and the phone that leads them."""
