"""What the maker does with benches: sighted, calibrated, checked, trusted again."""
