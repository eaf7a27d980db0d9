"""From sheets to a manual: its cover, its sections and its numbered steps."""
