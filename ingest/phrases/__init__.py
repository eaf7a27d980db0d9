"""From the body of a note to what it states, by the phrase book."""
