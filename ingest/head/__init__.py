"""From sheets to the head of a note: number, date, maker, and the units it holds for."""
