"""From bytes to sheets: words with boxes, lines in reading order, tables, printed page numbers."""
