"""Lists in files: superseded numbers as CSV, and packing slips."""
