"""The maker's verbs: each does one thing whole, or refuses in one sentence."""
