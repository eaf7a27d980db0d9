"""Sheets: answers as one self-contained HTML page each, to print or to look at."""
