"""Jobs: units in work, what was pinned when they were opened and built, and what changed since."""
